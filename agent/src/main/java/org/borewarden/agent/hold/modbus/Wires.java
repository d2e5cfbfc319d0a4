package org.borewarden.agent.hold.modbus;

import java.util.Optional;
import java.util.function.IntFunction;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.intake.EventSink;

/**
 * What a register output hangs on.
 *
 * @param sink where the cell's words go
 * @param clock for durations
 * @param meter for metrics
 * @param features the feature to its number on the wire, by the rules in force; called on the
 *     output's thread
 */
public record Wires(
    EventSink sink,
    MonotonicClock clock,
    LinkMeter meter,
    IntFunction<Optional<NumberedFeature>> features) {}
