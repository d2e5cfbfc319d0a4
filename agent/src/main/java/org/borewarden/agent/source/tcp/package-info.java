/** Bytes from a TCP server that gives the bytes of a serial port. */
@NullMarked
package org.borewarden.agent.source.tcp;

import org.jspecify.annotations.NullMarked;
