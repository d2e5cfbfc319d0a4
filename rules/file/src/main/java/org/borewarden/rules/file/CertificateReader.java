package org.borewarden.rules.file;

import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Ring;

/** Reads what a ring's certificate says of its size. */
final class CertificateReader {
  private CertificateReader() {}

  /**
   * The expanded uncertainty: a length is one with k = 2, {@code {U: 1.2 um, k: 3}} states another
   * factor. Kept as one with k = 2, rounded up.
   */
  static Reader<Length> uncertainty() {
    Reader<Length> length = Sizes.positive(TruthReader.LARGEST_ERROR, "0.8 um");
    return Reader.of(
        length.expects() + ", or U with k such as {U: 1.2 um, k: 3}",
        item -> item.isMapping() ? stated(item, length) : length.read(item));
  }

  private static Optional<Length> stated(Item item, Reader<Length> length) {
    return Fields.open(item, RulesKeys.CERTIFIED)
        .flatMap(
            fields -> {
              double k = UncertaintyReader.factor(fields);
              return fields
                  .required("U", length)
                  .map(u -> new Length((long) Math.ceil(u.picometres() * Ring.COVERAGE / k)));
            });
  }
}
