package org.borewarden.agent.observe;

import java.util.Collection;
import java.util.HashSet;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.watch.CapabilityView;
import org.borewarden.rules.watch.Finding;
import org.borewarden.rules.watch.FormView;

/** Counts what was judged and found, by feature. Any thread. */
public final class BoreMetrics {
  /** The watch of a finding that comes from the limits themselves. */
  static final String LIMITS = "limits";

  private final Meters meters;
  private Set<String> features = Set.of();

  BoreMetrics(Meters meters) {
    this.meters = meters;
  }

  /**
   * Names the features of the rules in force. The series of a feature that is no longer there go,
   * so that a forecast that nobody makes any more cannot alarm.
   *
   * @param ids all of them
   */
  public synchronized void features(Collection<String> ids) {
    Set<String> gone = new HashSet<>(features);
    gone.removeAll(ids);
    gone.forEach(this::forget);
    features = Set.copyOf(ids);
    for (String id : features) {
      for (Verdict verdict : Verdict.values()) {
        meters.counter(Metric.BORES, id, verdict.key());
      }
    }
  }

  /**
   * A bore was judged.
   *
   * @param judged the bore and its verdict
   */
  public synchronized void judged(Decision.BoreJudged judged) {
    String id = known(judged.feature().id());
    meters.counter(Metric.BORES, id, judged.judgement().verdict().key()).increment();
    meters.level(Metric.BORE, id).set(judged.bore().value().metres());
    meters
        .level(Metric.DEVIATION, id)
        .set(judged.bore().value().minus(judged.feature().nominal()).metres());
  }

  /**
   * The forecast of a feature.
   *
   * @param feature the feature's id
   * @param bores bores until a limit; empty where there is no forecast
   */
  public synchronized void untilLimit(String feature, OptionalInt bores) {
    Level level = meters.level(Metric.BORES_UNTIL_LIMIT, known(feature));
    if (bores.isPresent()) {
      level.set(bores.getAsInt());
    } else {
      level.clear();
    }
  }

  /**
   * The capability of a feature. An index that the data do not bear is taken out of the scrape.
   *
   * @param feature the feature's id
   * @param view what its watch knows
   */
  public synchronized void capability(String feature, CapabilityView view) {
    String id = known(feature);
    show(id, "cp", view.cp());
    show(id, "cpk", view.cpk());
    show(id, "pp", view.pp());
    show(id, "ppk", view.ppk());
  }

  /**
   * The capability of a feature over the last bores.
   *
   * @param feature the feature's id
   * @param view what its watch knows
   */
  public synchronized void capabilityWindow(String feature, CapabilityView view) {
    String id = known(feature);
    show(id, "cp-window", view.cp());
    show(id, "cpk-window", view.cpk());
    show(id, "pp-window", view.pp());
    show(id, "ppk-window", view.ppk());
  }

  /**
   * The capability of a form of a feature. Where so few bores give none, it is taken out.
   *
   * @param feature the feature's id
   * @param view what its watch knows
   */
  public synchronized void form(String feature, FormView view) {
    Level level = meters.level(Metric.CAPABILITY, known(feature), "ppk-" + view.form());
    if (view.ppk().isPresent()) {
      level.set(view.ppk().getAsDouble());
    } else {
      level.clear();
    }
  }

  private void show(String feature, String index, Optional<CapabilityView.Value> value) {
    if (value.isPresent()) {
      meters.level(Metric.CAPABILITY, feature, index).set(value.get().value());
    } else {
      meters.level(Metric.CAPABILITY, feature, index).clear();
    }
  }

  /**
   * A watch, or a limit, found something.
   *
   * @param finding what
   */
  public synchronized void found(Finding finding) {
    String watch = meters.bounded(Metric.FINDINGS, watchOf(finding));
    meters.counter(Metric.FINDINGS, known(finding.feature()), watch).increment();
  }

  /** The key of a finding is its reason, its feature and, for a watch, the watch's id. */
  private static String watchOf(Finding finding) {
    String stem = finding.reason().key() + "/" + finding.feature() + "/";
    return finding.key().startsWith(stem) ? finding.key().substring(stem.length()) : LIMITS;
  }

  private String known(String feature) {
    return features.contains(feature) ? feature : Meters.OTHER;
  }

  private void forget(String feature) {
    meters.forget(Metric.BORES, feature);
    meters.forget(Metric.BORE, feature);
    meters.forget(Metric.DEVIATION, feature);
    meters.forget(Metric.BORES_UNTIL_LIMIT, feature);
    meters.forget(Metric.CAPABILITY, feature);
    meters.forget(Metric.FINDINGS, feature);
  }
}
