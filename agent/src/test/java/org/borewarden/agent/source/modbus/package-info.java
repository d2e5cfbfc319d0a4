/** Tests of polled registers, against pymodbus. */
@NullMarked
package org.borewarden.agent.source.modbus;

import org.jspecify.annotations.NullMarked;
