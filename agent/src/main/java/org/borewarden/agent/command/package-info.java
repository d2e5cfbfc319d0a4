/**
 * The door for requests of people and of the cell: who may ask for what, and is what came well
 * formed. What passes becomes an event like a reading; what does not becomes an event too, so that
 * nobody knocks unseen.
 */
@NullMarked
package org.borewarden.agent.command;

import org.jspecify.annotations.NullMarked;
