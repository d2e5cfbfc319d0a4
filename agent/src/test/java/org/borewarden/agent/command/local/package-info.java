/** The local command socket with real sockets and real peers. */
@NullMarked
package org.borewarden.agent.command.local;

import org.jspecify.annotations.NullMarked;
