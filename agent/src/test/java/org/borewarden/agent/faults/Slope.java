package org.borewarden.agent.faults;

import java.util.List;
import java.util.Optional;
import java.util.function.ToLongFunction;

/** Whether what a process holds grows: the middle third of a run beside its last third. */
final class Slope {
  private Slope() {}

  /**
   * Looks at one figure.
   *
   * @param what its name
   * @param looks in their order, nine or more
   * @param of the figure
   * @param most how much the median of the last third may be above that of the middle third
   * @return empty when it does not grow, else a sentence
   */
  static Optional<String> grows(
      String what, List<ProcessLook> looks, ToLongFunction<ProcessLook> of, long most) {
    int third = looks.size() / 3;
    long middle = median(looks.subList(third, 2 * third), of);
    long last = median(looks.subList(2 * third, looks.size()), of);
    return last - middle <= most
        ? Optional.empty()
        : Optional.of(
            what + " grew from " + middle + " to " + last + ", allowed are " + most + " more");
  }

  static long median(List<ProcessLook> looks, ToLongFunction<ProcessLook> of) {
    return looks.stream().mapToLong(of).sorted().toArray()[looks.size() / 2];
  }
}
