package org.borewarden.agent.hold.modbus;

import java.util.Optional;

/**
 * A beat for the output's thread.
 *
 * @param shown what to show
 * @param sent where the loop thread has already written it, its answer
 */
record Given(Shown shown, Optional<BeatOrder.Sent> sent) {}
