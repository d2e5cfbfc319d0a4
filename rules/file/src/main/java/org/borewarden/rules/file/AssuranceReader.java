package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.Arrays;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Asked;
import org.borewarden.rules.part.Assurance;
import org.borewarden.rules.part.Drawing;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.Party;
import org.borewarden.rules.part.Prior;
import org.borewarden.rules.uncertainty.Expansion;

/** Reads what stands behind the verdicts beside the rule: temperature, prior, what is asked. */
final class AssuranceReader {
  /** Of steel, per kelvin: what rings and gauges are made of unless said otherwise (GUM H.1). */
  static final double STEEL = 11.5e-6;

  /** The bound of a coefficient, per kelvin (ISO 3650, from memory). */
  static final double COEFFICIENT_WITHIN = 1e-6;

  private static final Duration SHORTEST = Duration.ofSeconds(1);
  private static final Duration LONGEST = Duration.ofHours(24);

  private AssuranceReader() {}

  static Assurance read(Fields feature, Optional<Limits> limits, Drawing drawingOfFile) {
    Optional<Expansion> temperature =
        feature
            .item("temperature")
            .flatMap(item -> Fields.open(item, RulesKeys.TEMPERATURE))
            .flatMap(AssuranceReader::temperature);
    if (feature.has("temperature") && !feature.has("uncertainty")) {
      feature.refuse("temperature", "expected an uncertainty beside it, found none");
    }
    Optional<Prior> prior =
        feature
            .item("prior")
            .flatMap(item -> Fields.open(item, RulesKeys.PRIOR))
            .flatMap(AssuranceReader::prior);
    if (feature.has("prior") && !feature.has("uncertainty")) {
      feature.refuse("prior", "expected an uncertainty beside it, found none");
    }
    Asked asked =
        feature
            .item("readiness")
            .flatMap(item -> Fields.open(item, RulesKeys.READINESS))
            .map(fields -> asked(fields, limits))
            .orElse(Asked.USUAL);
    Drawing drawing = feature.optional("drawing", drawing()).orElse(drawingOfFile);
    return new Assurance(party(feature), temperature, prior, asked, drawing);
  }

  static Reader<Drawing> drawing() {
    return Scalars.word(Arrays.asList(Drawing.values()), Drawing::key);
  }

  private static Party party(Fields feature) {
    return feature
        .item("decision")
        .filter(item -> item.isMapping())
        .flatMap(item -> item.in("for"))
        .flatMap(Scalars.word(Arrays.asList(Party.values()), Party::key)::read)
        .orElse(Party.SUPPLIER);
  }

  private static Optional<Expansion> temperature(Fields fields) {
    Optional<Numbers.Range> range = fields.required("range", Numbers.range());
    Optional<Double> part = fields.required("part", Numbers.expansion("23.6 ppm/K"));
    double ring = fields.orElse("ring", Numbers.expansion("11.5 ppm/K"), STEEL);
    double gauge = fields.orElse("gauge", Numbers.expansion("11.5 ppm/K"), STEEL);
    double within = fields.orElse("within", Numbers.expansion("1 ppm/K"), COEFFICIENT_WITHIN);
    Optional<Double> difference = fields.optional("difference", Numbers.kelvin("2 K"));
    Optional<Expansion.Correction> correction =
        fields
            .item("correct")
            .flatMap(item -> Fields.open(item, RulesKeys.CORRECT))
            .flatMap(AssuranceReader::correction);
    return range.flatMap(
        r ->
            part.map(
                p ->
                    new Expansion(
                        p,
                        ring,
                        gauge,
                        within,
                        r.from(),
                        r.to(),
                        difference.orElse(r.to() - r.from()),
                        correction)));
  }

  private static Optional<Expansion.Correction> correction(Fields fields) {
    Optional<Double> thermometer = fields.required("thermometer", Numbers.kelvin("0.5 K"));
    Optional<Double> difference = fields.required("difference", Numbers.kelvin("0.2 K"));
    Optional<Duration> oldest = fields.required("oldest", Scalars.duration(SHORTEST, LONGEST));
    return thermometer.flatMap(
        t -> difference.flatMap(d -> oldest.map(o -> new Expansion.Correction(t, d, o))));
  }

  private static Optional<Prior> prior(Fields fields) {
    Reader<Written> size = Sizes.size(FeatureReader.SMALLEST, FeatureReader.LARGEST);
    Optional<Length> mean = fields.required("mean", size).map(Written::length);
    Optional<Length> sigma = fields.required("sigma", UncertaintyReader.length("2 um"));
    return mean.flatMap(m -> sigma.map(s -> new Prior(m, s)));
  }

  private static Asked asked(Fields fields, Optional<Limits> limits) {
    BigDecimal ratio =
        fields.orElse("ratio", Numbers.number("0.1", "100", "4"), Asked.USUAL.ratio());
    int steps = fields.orElse("steps", Scalars.whole(1, 1000), Asked.USUAL.steps());
    Optional<Length> tolerance =
        fields.optional("tolerance", Sizes.positive(LimitsReader.FARTHEST, "0.050 mm"));
    boolean both = limits.filter(l -> l.lower().isPresent() && l.upper().isPresent()).isPresent();
    if (both && fields.has("tolerance")) {
      fields.refuse("tolerance", "expected no tolerance where both limits stand");
    }
    return new Asked(ratio, steps, tolerance);
  }
}
