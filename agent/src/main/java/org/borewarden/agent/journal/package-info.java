/**
 * The record of all events and decisions on the agent's disk, and what of it the broker has not
 * acknowledged.
 */
@NullMarked
package org.borewarden.agent.journal;

import org.jspecify.annotations.NullMarked;
