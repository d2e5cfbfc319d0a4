/** Bytes from a serial port. */
@NullMarked
package org.borewarden.agent.source.serial;

import org.jspecify.annotations.NullMarked;
