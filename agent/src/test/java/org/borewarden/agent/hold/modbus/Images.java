package org.borewarden.agent.hold.modbus;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.StopKind;

/** Permit images of cell-4. */
final class Images {
  static final int BOOT = 4711;

  private Images() {}

  static PermitImage permitted() {
    return image(view(Phase.PERMITTED, true, Optional.empty(), 0), Reason.NONE);
  }

  static PermitImage held(int number, StopKind kind) {
    return image(view(Phase.REQUESTED, false, Optional.of(kind), number), Reason.FORECAST);
  }

  static PermitImage image(HoldView hold, Reason reason) {
    return new PermitImage(
        hold, BOOT, reason, 0, 65535, 0, 0, 0, false, false, false, false, 0, 0, 0, 0, 0);
  }

  static HoldView view(Phase phase, boolean permitted, Optional<StopKind> kind, int number) {
    List<Cause> causes =
        kind.map(
                k ->
                    List.of(
                        new Cause(
                            "forecast", Reason.FORECAST, Optional.of("bearing-seat"), k, 12, 1)))
            .orElse(List.of());
    return new HoldView(
        "cell-4",
        phase,
        permitted,
        kind,
        number,
        3,
        causes,
        List.of(),
        false,
        false,
        0,
        Optional.empty(),
        List.of(),
        Instant.EPOCH,
        "agent",
        false,
        "c");
  }
}
