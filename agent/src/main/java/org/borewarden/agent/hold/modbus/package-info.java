/**
 * The register path to a cell's controller: the map of docs/hold.md as a pure codec, an output that
 * writes to the controller, and one that the controller polls.
 *
 * <p>Modbus has no authentication: a network of its own and a fixed peer address are part of the
 * installation. A process hold, not a safety function.
 */
@NullMarked
package org.borewarden.agent.hold.modbus;

import org.jspecify.annotations.NullMarked;
