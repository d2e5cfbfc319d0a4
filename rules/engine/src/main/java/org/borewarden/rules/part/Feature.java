package org.borewarden.rules.part;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;

/**
 * A characteristic of a part number that the rules file names.
 *
 * @param id its name on topics
 * @param number its number on the wire to the cell, 1 to 65535, unique
 * @param part the part number it belongs to
 * @param gauge the gauge that measures it
 * @param input the gauge's input that measures it, where one gauge has several
 * @param cell the cell whose permit it may withdraw; empty where the config has no cell
 * @param tool the tool that cuts it; absent where every tool change of the cell concerns it
 * @param nominal the nominal size, from which deviations are counted
 * @param limits the limits of size
 * @param unit the unit in which outputs print it
 * @param rule how a bore is compared with the limits
 * @param assurance what stands behind its verdicts beside the rule
 * @param centre the size that run watches compare with: aim, else the middle of the limits; absent
 *     where only one limit stands and no centre is given
 * @param sampledEvery the parts from one measured part to the next where the cell names no part
 *     numbers, at least 1
 * @param undersize what a bore under its lower limit does
 * @param oversize what a bore over its upper limit does
 * @param watches the watches over its bores
 * @param measuring how its readings become a bore
 * @param streams how its bores are put in order and kept apart for the watches
 */
public record Feature(
    String id,
    int number,
    String part,
    String gauge,
    Optional<String> input,
    Optional<String> cell,
    Optional<String> tool,
    Length nominal,
    Limits limits,
    Unit unit,
    DecisionRule rule,
    Assurance assurance,
    Optional<Length> centre,
    int sampledEvery,
    OutOfLimit undersize,
    OutOfLimit oversize,
    List<WatchRule> watches,
    Measuring measuring,
    Streams streams) {
  /**
   * Copies the list and checks what can be checked without other features.
   *
   * @throws IllegalArgumentException when an id is no name, a number out of its range, the centre
   *     outside the limits, a watch named twice or a run watch without a centre
   */
  public Feature {
    watches = List.copyOf(watches);
    Check.name("the id of a feature", id);
    Check.range("the number of a feature", number, 1, 65_535);
    Check.range("sampled every", sampledEvery, 1, 10_000);
    if (!nominal.isAbove(Length.ZERO)) {
      throw new IllegalArgumentException("the nominal size must be above 0");
    }
    if (centre.isPresent() && !limits.include(centre.get())) {
      throw new IllegalArgumentException("the centre must lie within the limits");
    }
    Check.unique("watch", watches.stream().map(WatchRule::id).toList());
    if (centre.isEmpty() && watches.stream().anyMatch(Feature::needsCentre)) {
      throw new IllegalArgumentException(
          "a run watch needs a centre: with one limit, the rules must give it");
    }
  }

  private static boolean needsCentre(WatchRule watch) {
    return watch instanceof WatchRule.OneSide
        || watch instanceof WatchRule.ToolOffset
        || (watch instanceof WatchRule.Chart chart
            && (chart.scale() instanceof ChartScale.Given
                || chart.scale() instanceof ChartScale.Zones));
  }

  /**
   * Whether the drawing asks for more than a bore gauge can prove: that an envelope of the smallest
   * size passes.
   *
   * @return true under {@link Drawing#ASME} where a lower limit stands
   */
  public boolean asksEnvelope() {
    return assurance.drawing() == Drawing.ASME && limits.lower().isPresent();
  }

  /**
   * The rule for a size that is not corrected to 20 degrees Celsius: what temperature can do goes
   * into the uncertainty.
   *
   * @return the rule itself where nothing is said of temperature
   */
  public DecisionRule uncorrected() {
    return assurance
        .temperature()
        .map(expansion -> ruleBeside(expansion.uncorrected(nominal)))
        .orElse(rule);
  }

  /**
   * The rule with something beside its uncertainty.
   *
   * @param picometres a standard uncertainty, 0 or more
   * @return a rule that differs in its uncertainty only
   */
  public DecisionRule ruleBeside(double picometres) {
    return rule.stated().map(u -> rule.with(u.beside(picometres))).orElse(rule);
  }

  /**
   * A feature of which one reading is one bore.
   *
   * @param id its name on topics
   * @param number its number on the wire to the cell
   * @param part the part number it belongs to
   * @param gauge the gauge that measures it
   * @param input the gauge's input that measures it
   * @param cell the cell whose permit it may withdraw
   * @param tool the tool that cuts it
   * @param nominal the nominal size
   * @param limits the limits of size
   * @param unit the unit in which outputs print it
   * @param rule how a bore is compared with the limits
   * @param centre the size that run watches compare with
   * @param sampledEvery the parts from one measured part to the next
   * @param undersize what a bore under its lower limit does
   * @param oversize what a bore over its upper limit does
   * @param watches the watches over its bores
   */
  public Feature(
      String id,
      int number,
      String part,
      String gauge,
      Optional<String> input,
      Optional<String> cell,
      Optional<String> tool,
      Length nominal,
      Limits limits,
      Unit unit,
      DecisionRule rule,
      Optional<Length> centre,
      int sampledEvery,
      OutOfLimit undersize,
      OutOfLimit oversize,
      List<WatchRule> watches) {
    this(
        id,
        number,
        part,
        gauge,
        input,
        cell,
        tool,
        nominal,
        limits,
        unit,
        rule,
        Assurance.NONE,
        centre,
        sampledEvery,
        undersize,
        oversize,
        watches,
        Measuring.SINGLE);
  }

  /**
   * A feature whose bores are one stream in the order of arrival.
   *
   * @param id its name on topics
   * @param number its number on the wire to the cell
   * @param part the part number it belongs to
   * @param gauge the gauge that measures it
   * @param input the gauge's input that measures it
   * @param cell the cell whose permit it may withdraw
   * @param tool the tool that cuts it
   * @param nominal the nominal size
   * @param limits the limits of size
   * @param unit the unit in which outputs print it
   * @param rule how a bore is compared with the limits
   * @param assurance what stands behind its verdicts beside the rule
   * @param centre the size that run watches compare with
   * @param sampledEvery the parts from one measured part to the next
   * @param undersize what a bore under its lower limit does
   * @param oversize what a bore over its upper limit does
   * @param watches the watches over its bores
   * @param measuring how its readings become a bore
   */
  public Feature(
      String id,
      int number,
      String part,
      String gauge,
      Optional<String> input,
      Optional<String> cell,
      Optional<String> tool,
      Length nominal,
      Limits limits,
      Unit unit,
      DecisionRule rule,
      Assurance assurance,
      Optional<Length> centre,
      int sampledEvery,
      OutOfLimit undersize,
      OutOfLimit oversize,
      List<WatchRule> watches,
      Measuring measuring) {
    this(
        id,
        number,
        part,
        gauge,
        input,
        cell,
        tool,
        nominal,
        limits,
        unit,
        rule,
        assurance,
        centre,
        sampledEvery,
        undersize,
        oversize,
        watches,
        measuring,
        Streams.ONE);
  }

  /**
   * The same feature with its bores in streams.
   *
   * @param other how they are put in order and kept apart
   * @return a feature that differs in its streams only
   */
  public Feature withStreams(Streams other) {
    return new Feature(
        id,
        number,
        part,
        gauge,
        input,
        cell,
        tool,
        nominal,
        limits,
        unit,
        rule,
        assurance,
        centre,
        sampledEvery,
        undersize,
        oversize,
        watches,
        measuring,
        other);
  }

  /**
   * The same feature in a cell.
   *
   * @param other the cell
   * @return a feature that differs in its cell only
   */
  public Feature withCell(Optional<String> other) {
    return new Feature(
        id,
        number,
        part,
        gauge,
        input,
        other,
        tool,
        nominal,
        limits,
        unit,
        rule,
        assurance,
        centre,
        sampledEvery,
        undersize,
        oversize,
        watches,
        measuring,
        streams);
  }

  /**
   * What happens with an out-of-limit bore and with the cell that cut it.
   *
   * @param disposition what may become of the part
   * @param action what the finding does
   */
  public record OutOfLimit(Disposition disposition, Action action) {}

  /** What may become of an out-of-limit part. */
  public enum Disposition {
    /** More can be cut: the usual fate of a bore that is too small. */
    REWORK,
    /** Nothing can be put back: the usual fate of a bore that is too large. */
    SCRAP,
    /** A person decides. */
    REVIEW
  }
}
