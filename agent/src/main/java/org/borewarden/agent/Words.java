package org.borewarden.agent;

import java.util.Locale;
import java.util.stream.Collectors;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.hold.HoldView;

/** Holds and orders in words, for the log. */
final class Words {
  private Words() {}

  static String of(Order order) {
    return order
        .getClass()
        .getSimpleName()
        .replaceAll("(?<=.)([A-Z])", "-$1")
        .toLowerCase(Locale.ROOT);
  }

  static String of(HoldView hold) {
    String why =
        java.util.stream.Stream.concat(
                hold.causes().stream().map(cause -> cause.key()),
                hold.conditions().stream()
                    .map(
                        condition ->
                            condition.reason().key()
                                + condition.subject().map(s -> "/" + s).orElse("")))
            .collect(Collectors.joining(", "));
    String permit = hold.permitted() ? "permit given" : "no permit";
    String number = hold.number() == 0 ? "" : ", hold " + hold.number() + "." + hold.revision();
    return "cell "
        + hold.cell()
        + ": "
        + permit
        + " ("
        + hold.phase().name().toLowerCase(Locale.ROOT).replace('_', '-')
        + number
        + ")"
        + (why.isEmpty() ? "" : " because of " + why)
        + (hold.heard() ? ", heard" : "")
        + (hold.stopped() ? ", stopped" : "");
  }
}
