/**
 * What the agent says to the service manager that started it: that it is ready, that its loop
 * turns, that it stops. Where none started it, nothing is said.
 */
@NullMarked
package org.borewarden.agent.service;

import org.jspecify.annotations.NullMarked;
