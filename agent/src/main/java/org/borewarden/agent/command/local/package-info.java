/** Commands from people at the machine that the agent runs on, over a Unix domain socket. */
@NullMarked
package org.borewarden.agent.command.local;

import org.jspecify.annotations.NullMarked;
