package org.borewarden.agent.observe;

import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.TrendView;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.watch.CapabilityView;
import org.borewarden.rules.watch.Finding;

/** Counts what was judged and found, by feature. Any thread. */
public final class BoreMetrics {
  /** The watch of a finding that comes from the limits themselves. */
  static final String LIMITS = "limits";

  private final Meters meters;
  private Set<String> features = Set.of();

  /** The indices of each feature that are in the scrape. */
  private final Map<String, Set<String>> shown = new HashMap<>();

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
   * The capability of a feature: over whole lives, over the last bores, of its forms. An index that
   * the data do not bear, or that nobody asks for any more, is taken out of the scrape.
   *
   * @param trend the feature's chart
   */
  public synchronized void capability(TrendView trend) {
    String id = known(trend.feature());
    Map<String, Double> indices = new HashMap<>();
    trend.capability().ifPresent(view -> of(view, "", indices));
    trend.capabilityWindow().ifPresent(view -> of(view, "-window", indices));
    trend
        .formCapability()
        .forEach(form -> form.ppk().ifPresent(ppk -> indices.put("ppk-" + form.form(), ppk)));
    Set<String> gone = new HashSet<>(shown.getOrDefault(id, Set.of()));
    gone.removeAll(indices.keySet());
    gone.forEach(index -> meters.level(Metric.CAPABILITY, id, index).clear());
    indices.forEach((index, value) -> meters.level(Metric.CAPABILITY, id, index).set(value));
    shown.put(id, Set.copyOf(indices.keySet()));
  }

  private static void of(CapabilityView view, String of, Map<String, Double> indices) {
    view.cp().ifPresent(value -> indices.put("cp" + of, value.value()));
    view.cpk().ifPresent(value -> indices.put("cpk" + of, value.value()));
    view.pp().ifPresent(value -> indices.put("pp" + of, value.value()));
    view.ppk().ifPresent(value -> indices.put("ppk" + of, value.value()));
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
    shown.remove(feature);
  }
}
