/**
 * A deterministic simulation of the agent: its own framer, decoder, inbox, loop, engine, replay and
 * publisher's window, on a disk, a broker, a gauge and clocks that a seed makes fail. One thread.
 */
@NullMarked
package org.borewarden.agent.faults.sim;

import org.jspecify.annotations.NullMarked;
