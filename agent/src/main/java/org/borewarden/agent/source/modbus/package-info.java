/** Values from the registers of a Modbus TCP server. */
@NullMarked
package org.borewarden.agent.source.modbus;

import org.jspecify.annotations.NullMarked;
