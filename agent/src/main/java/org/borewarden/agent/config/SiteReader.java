package org.borewarden.agent.config;

import java.time.DateTimeException;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.file.yaml.Unique;

/** Reads the clock and the shifts of the site. Used by one thread. */
final class SiteReader {
  static final int MOST_SHIFTS = 12;
  static final int LONGEST_NAME = 40;

  private static final Reader<LocalTime> TIME =
      Reader.scalar(
          "a time of day such as \"06:00\"",
          text ->
              text.matches("([01][0-9]|2[0-3]):[0-5][0-9]")
                  ? Optional.of(LocalTime.parse(text))
                  : Optional.empty());

  private static final Reader<ZoneId> ZONE =
      Reader.scalar("a time zone such as Europe/Berlin or UTC", SiteReader::zone);

  private final Unique names = new Unique("name");

  private SiteReader() {}

  static Reader<SiteConfig> site() {
    return Reader.of(
        "a mapping",
        item ->
            Fields.open(item, AgentKeys.SITE)
                .map(
                    fields ->
                        new SiteConfig(
                            fields.orElse("zone", ZONE, SiteConfig.DEFAULT.zone()),
                            fields.orElse(
                                "shifts",
                                Lists.of(
                                    "shifts",
                                    1,
                                    MOST_SHIFTS,
                                    Reader.of("a mapping", new SiteReader()::shift)),
                                List.of()))));
  }

  private Optional<SiteConfig.Shift> shift(Item item) {
    return Fields.open(item, AgentKeys.SHIFT)
        .flatMap(
            fields -> {
              Optional<String> name =
                  fields.required(
                      "name",
                      Reader.of(
                          Scalars.text(LONGEST_NAME).expects(),
                          at -> {
                            Optional<String> text = Scalars.text(LONGEST_NAME).read(at);
                            text.ifPresent(value -> names.add(value, at));
                            return text;
                          }));
              Optional<LocalTime> from = fields.required("from", TIME);
              Optional<LocalTime> to = fields.required("to", TIME);
              return name.isPresent() && from.isPresent() && to.isPresent()
                  ? Optional.of(new SiteConfig.Shift(name.get(), from.get(), to.get()))
                  : Optional.empty();
            });
  }

  private static Optional<ZoneId> zone(String text) {
    try {
      return Optional.of(ZoneId.of(text));
    } catch (DateTimeException unknown) {
      return Optional.empty();
    }
  }
}
