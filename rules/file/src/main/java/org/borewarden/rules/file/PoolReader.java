package org.borewarden.rules.file;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Places;
import org.borewarden.rules.file.yaml.Position;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.file.yaml.Unique;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Action.Level;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Pool;
import org.borewarden.rules.part.WatchRule;

/** Reads, and says in words, the streams that several features share. */
final class PoolReader {
  /** The most pools of one file. */
  static final int MOST_POOLS = 50;

  private PoolReader() {}

  static List<Pool> read(Fields file) {
    Unique ids = new Unique("id");
    return file.orElse(
        "pools",
        Lists.of("pools", 1, MOST_POOLS, Reader.of("a pool", item -> pool(item, ids))),
        List.of());
  }

  private static Optional<Pool> pool(Item item, Unique ids) {
    return Fields.open(item, RulesKeys.POOL).flatMap(fields -> pool(fields, ids));
  }

  private static Optional<Pool> pool(Fields fields, Unique ids) {
    Optional<String> id = fields.required("id", Scalars.id());
    id.ifPresent(value -> fields.item("id").ifPresent(i -> ids.add(value, i)));
    Unique names = new Unique("feature");
    Optional<List<Pool.Member>> members =
        fields.required(
            "members",
            Lists.of(
                "features", 2, Pool.MOST, Reader.of("a feature", item -> member(item, names))));
    boolean common = fields.orElse("slope", Scalars.word("own", "common"), "own").equals("common");
    Unique watchIds = new Unique("watch id");
    Reader<List<WatchRule.Chart>> reader =
        Lists.of(
            "watches",
            1,
            WatchReader.MOST_WATCHES,
            Reader.of("a watch", item -> chart(item, watchIds)));
    Optional<List<WatchRule.Chart>> charts =
        common && !fields.has("watches")
            ? Optional.of(List.of())
            : fields.required("watches", reader);
    boolean good = id.isPresent() && members.isPresent() && charts.isPresent();
    return good && fields.self().problems().none()
        ? Optional.of(new Pool(id.get(), members.get(), charts.get(), common))
        : Optional.empty();
  }

  private static Optional<Pool.Member> member(Item item, Unique names) {
    return Fields.open(item, RulesKeys.MEMBER)
        .flatMap(
            fields -> {
              Optional<String> feature = fields.required("feature", Scalars.id());
              feature.ifPresent(
                  value -> fields.item("feature").ifPresent(i -> names.add(value, i)));
              Optional<Length> sigma =
                  fields.required("sigma", Sizes.positive(WatchReader.LARGEST_SIGMA, "1.1 um"));
              return feature.flatMap(f -> sigma.map(s -> new Pool.Member(f, s)));
            });
  }

  private static Optional<WatchRule.Chart> chart(Item item, Unique ids) {
    Optional<Fields> open = Fields.open(item, RulesKeys.POOL_WATCH);
    Optional<String> kind = open.flatMap(Fields::onlyKey);
    if (open.isEmpty() || kind.isEmpty()) {
      return Optional.empty();
    }
    return open.get()
        .item(kind.get())
        .flatMap(i -> Fields.open(i, ChartReader.keys(kind.get())))
        .flatMap(fields -> chart(kind.get(), fields, ids));
  }

  private static Optional<WatchRule.Chart> chart(String kind, Fields fields, Unique ids) {
    for (String key : List.of("sigma", "wear", "baseline")) {
      if (ChartReader.keys(kind).known().contains(key) && fields.has(key)) {
        fields.refuse(key, "expected no " + key + " in a pool: each feature has its own sigma");
      }
    }
    String id = fields.orElse("id", Scalars.id(), kind);
    ids.add(id, fields.item("id").orElse(fields.self()));
    ChartTest test = ChartReader.test(kind, fields);
    Action action = ActionReader.action(fields, Level.ALERT);
    return fields.self().problems().none()
        ? Optional.of(new WatchRule.Chart(id, test, new ChartScale.Pooled(), action))
        : Optional.empty();
  }

  /** The features of a pool must be there, with a centre from which to count. */
  static void refuseUnknown(Item root, List<Pool> pools, List<Feature> features) {
    Map<String, Position> places = Places.of("", root.node()).positions();
    for (int p = 0; p < pools.size(); p++) {
      for (int m = 0; m < pools.get(p).members().size(); m++) {
        String id = pools.get(p).members().get(m).feature();
        boolean known =
            features.stream().anyMatch(f -> f.id().equals(id) && f.centre().isPresent());
        String path = "pools[" + p + "].members[" + m + "].feature";
        if (!known) {
          root.problems()
              .add(
                  places.getOrDefault(path, root.node().at()),
                  path,
                  "expected a feature of this file with a centre, found " + id);
        }
      }
    }
  }

  static List<String> words(Pool pool, List<Feature> features) {
    List<String> lines = new ArrayList<>();
    List<String> members = new ArrayList<>();
    for (Pool.Member member : pool.members()) {
      features.stream()
          .filter(f -> f.id().equals(member.feature()))
          .findFirst()
          .ifPresent(
              f ->
                  members.add(
                      f.id() + " (sigma " + ShownLength.size(member.sigma(), f.unit()) + ")"));
    }
    lines.add(
        "pool " + pool.id() + " of " + String.join(", ", members) + ": one part is one point");
    if (pool.commonSlope()) {
      lines.add("  the forecasts of its features share one slope, each with its own level");
    }
    for (WatchRule.Chart chart : pool.charts()) {
      lines.add(
          "  watch "
              + chart.id()
              + ": "
              + ChartWords.test(chart.test())
              + ": "
              + FeatureWords.does(chart.action()));
    }
    return lines;
  }
}
