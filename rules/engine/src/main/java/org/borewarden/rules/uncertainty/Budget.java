package org.borewarden.rules.uncertainty;

import java.util.List;
import org.borewarden.rules.uncertainty.Component.Kind;

/**
 * An uncertainty budget: named components that are not correlated, combined as JCGM 100:2008 (GUM)
 * says in 5.1.2, with effective degrees of freedom by Welch and Satterthwaite (G.4.1; from memory).
 *
 * <p>Of resolution and repeatability only the larger counts, because the spread of repeated
 * readings already holds the steps of the display (ISO 22514-7; from worked examples).
 *
 * @param components at least one
 */
public record Budget(List<Component> components) {
  /**
   * Copies the list and checks it.
   *
   * @throws IllegalArgumentException when it is empty, has two resolutions, or adds up to nothing
   */
  public Budget {
    components = List.copyOf(components);
    if (components.stream().filter(c -> c.kind() == Kind.RESOLUTION).count() > 1) {
      throw new IllegalArgumentException("expected one resolution at most");
    }
    if (components.stream().noneMatch(c -> c.picometres() > 0)) {
      throw new IllegalArgumentException("expected a component above 0");
    }
  }

  /**
   * Whether a component counts, or is held in a larger one.
   *
   * @param component one of this budget
   * @return false for a resolution under the largest repeatability, and for every repeatability
   *     under the resolution
   */
  public boolean counts(Component component) {
    return switch (component.kind()) {
      case RESOLUTION -> component.picometres() > largest(Kind.REPEATABILITY);
      case REPEATABILITY -> component.picometres() >= largest(Kind.RESOLUTION);
      case OTHER -> true;
    };
  }

  private double largest(Kind kind) {
    return components.stream()
        .filter(c -> c.kind() == kind)
        .mapToDouble(Component::picometres)
        .max()
        .orElse(0);
  }

  /**
   * The combined standard uncertainty.
   *
   * @return u = sqrt(sum (c u)^2), picometres
   */
  public double picometres() {
    return Math.sqrt(
        components.stream()
            .filter(this::counts)
            .mapToDouble(c -> c.picometres() * c.picometres())
            .sum());
  }

  /**
   * The effective degrees of freedom.
   *
   * @return u^4 / sum((c u)^4 / nu), infinite where no component has finite ones
   */
  public double freedom() {
    double sum =
        components.stream()
            .filter(this::counts)
            .mapToDouble(c -> Math.pow(c.picometres(), 4) / c.freedom())
            .sum();
    return Math.pow(picometres(), 4) / sum;
  }

  /**
   * How much of the variance a component makes.
   *
   * @param component one of this budget
   * @return from 0 to 1; 0 where it does not count
   */
  public double share(Component component) {
    double of = picometres();
    double part = counts(component) ? component.picometres() : 0;
    return part * part / (of * of);
  }
}
