/** Values from the registers of Modbus servers, over TCP or on a serial line. */
@NullMarked
package org.borewarden.agent.source.modbus;

import org.jspecify.annotations.NullMarked;
