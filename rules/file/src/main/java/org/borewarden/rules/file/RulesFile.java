package org.borewarden.rules.file;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.FileText;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Node;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.file.yaml.Places;
import org.borewarden.rules.file.yaml.Position;
import org.borewarden.rules.file.yaml.Problems;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.file.yaml.YamlTree;
import org.borewarden.rules.judge.GaugeFacts;
import org.borewarden.rules.judge.Readiness;
import org.borewarden.rules.judge.Unready;
import org.borewarden.rules.part.Drawing;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Pool;
import org.borewarden.rules.part.RuleSet;

/** Reads rules.yaml: what is good, and what happens then. */
public final class RulesFile {
  /** The most features of one file. */
  public static final int MOST_FEATURES = 500;

  /** The hex digits of the text's SHA-256 that name a revision. */
  static final int REVISION_DIGITS = 12;

  private RulesFile() {}

  /**
   * Reads the bytes of a rules file.
   *
   * @param fileName the file's name, as messages shall give it
   * @param bytes the bytes, UTF-8
   * @return the rules, or everything that is wrong with the file
   */
  public static Outcome<RulesResult> read(String fileName, byte[] bytes) {
    Problems problems = new Problems(fileName);
    Optional<Node> root =
        FileText.decode(bytes, problems).flatMap(text -> YamlTree.read(text, problems));
    String revision = revision(bytes);
    Optional<RuleSet> read = root.flatMap(node -> rules(new Item(node, "", problems), revision));
    if (root.isEmpty() || read.isEmpty() || !problems.none()) {
      return new Outcome.Refused<>(problems.list());
    }
    RuleSet rules = read.get();
    return new Outcome.Good<>(
        new RulesResult(rules, FeatureWords.of(rules), Places.of(fileName, root.get())));
  }

  /**
   * Reads the text of a rules file.
   *
   * @param fileName the file's name, as messages shall give it
   * @param text the text
   * @return the rules, or everything that is wrong with the file
   */
  public static Outcome<RulesResult> read(String fileName, String text) {
    return read(fileName, text.getBytes(StandardCharsets.UTF_8));
  }

  private static Optional<RuleSet> rules(Item root, String revision) {
    Optional<Fields> file = Fields.open(root, RulesKeys.FILE);
    Optional<FeatureReader> each = file.map(RulesFile::reader);
    Optional<List<Feature>> features = file.flatMap(f -> each.flatMap(r -> features(f, r)));
    Optional<TruthReader> truth = file.map(TruthReader::read);
    each.ifPresent(r -> r.refuseSecondMeasures(truth.map(TruthReader::telling).orElse(Set.of())));
    if (features.isEmpty() || truth.isEmpty()) {
      return Optional.empty();
    }
    truth.get().refuseUnseen(root, features.get());
    List<Pool> pools = file.map(PoolReader::read).orElse(List.of());
    PoolReader.refuseUnknown(root, pools, features.get());
    if (root.problems().none()) {
      WhichReader.refuseUnclear(root, features.get(), truth.get().gauges());
      SignsReader.refuseUnclear(root, features.get(), truth.get().gauges(), truth.get().rings());
    }
    if (!root.problems().none()) {
      return Optional.empty();
    }
    RuleSet rules =
        new RuleSet(
            revision,
            features.get(),
            truth.get().rings(),
            truth.get().gauges(),
            pools,
            each.map(FeatureReader::shifts).orElse(List.of()));
    refuseUnproven(root, rules);
    return Optional.of(rules);
  }

  /** A U that is less than what a ring check lets stand is no uncertainty of these bores. */
  private static void refuseUnproven(Item root, RuleSet rules) {
    Map<String, Position> places = Places.of("", root.node()).positions();
    List<Feature> features = rules.features();
    for (int i = 0; i < features.size(); i++) {
      Feature feature = features.get(i);
      String path = "features[" + i + "].uncertainty";
      Readiness.underRingCheck(feature, GaugeFacts.of(rules, feature))
          .filter(Unready::refuses)
          .ifPresent(
              under ->
                  root.problems()
                      .add(
                          places.getOrDefault(path, root.node().at()),
                          path,
                          "expected more: "
                              + ReadinessWords.underRingCheck(under, feature.unit())));
    }
  }

  private static FeatureReader reader(Fields file) {
    return new FeatureReader(
        file.optional("part", Scalars.text(FeatureReader.LONGEST_PART)),
        file.optional("cell", Scalars.id()),
        file.orElse("drawing", AssuranceReader.drawing(), Drawing.ISO));
  }

  private static Optional<List<Feature>> features(Fields file, FeatureReader each) {
    return file.required("features", Lists.of("features", 1, MOST_FEATURES, each));
  }

  /**
   * Names a text.
   *
   * @param bytes the bytes of the file
   * @return the first 12 hex digits of their SHA-256
   */
  static String revision(byte[] bytes) {
    try {
      byte[] digest = MessageDigest.getInstance("SHA-256").digest(bytes);
      return HexFormat.of().formatHex(digest).substring(0, REVISION_DIGITS);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
