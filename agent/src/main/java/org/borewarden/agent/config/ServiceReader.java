package org.borewarden.agent.config;

import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads where metrics are served, and the limits of the journal. */
final class ServiceReader {
  static final int LEAST_QUEUE = 100;
  static final int MOST_QUEUE = 1_000_000;
  static final int MOST_DAYS = 3_650;
  static final int LEAST_MEBIBYTES = 64;
  static final int MOST_MEBIBYTES = 1_048_576;
  static final Duration LONGEST_COMMIT_WAIT = Duration.ofSeconds(1);

  private ServiceReader() {}

  static Reader<HttpConfig> http() {
    HttpConfig usual = HttpConfig.DEFAULT;
    return Reader.of(
        "off, or a mapping",
        item -> {
          if (!item.isMapping()) {
            boolean off = item.text().filter("off"::equals).isPresent();
            return off
                ? Optional.of(new HttpConfig(false, usual.host(), usual.port()))
                : item.expected("off, or a mapping with host and port");
          }
          return Fields.open(item, AgentKeys.HTTP)
              .map(
                  fields ->
                      new HttpConfig(
                          true,
                          fields.orElse("host", Hosts.loopback(), usual.host()),
                          fields.orElse(
                              "port", Scalars.whole(0, Hosts.HIGHEST_PORT), usual.port())));
        });
  }

  static Reader<SheetConfig> sheet(FilePaths paths) {
    return Reader.of(
        "a mapping",
        item ->
            Fields.open(item, AgentKeys.SPREADSHEET)
                .flatMap(
                    fields -> {
                      String mark =
                          fields.orElse(
                              "decimal", Scalars.word(List.of("point", "comma"), w -> w), "point");
                      return fields
                          .required("file", paths.path())
                          .map(file -> new SheetConfig(file, mark.equals("comma")));
                    }));
  }

  static Reader<JournalConfig> journal() {
    JournalConfig usual = JournalConfig.DEFAULT;
    return Reader.of(
        "a mapping",
        item ->
            Fields.open(item, AgentKeys.JOURNAL)
                .map(
                    fields ->
                        new JournalConfig(
                            fields.orElse(
                                "queue-entries",
                                Scalars.whole(LEAST_QUEUE, MOST_QUEUE),
                                usual.queueEntries()),
                            fields.orElse(
                                "commit-every",
                                Scalars.duration(Duration.ZERO, LONGEST_COMMIT_WAIT),
                                usual.commitEvery()),
                            fields.orElse(
                                "keep-days", Scalars.whole(1, MOST_DAYS), usual.keepDays()),
                            fields.orElse(
                                "keep-size",
                                Scalars.mebibytes(LEAST_MEBIBYTES, MOST_MEBIBYTES),
                                usual.keepMebibytes()),
                            fields.orElse(
                                "outbox-full",
                                Scalars.word(
                                    List.of(JournalConfig.OutboxFull.values()),
                                    choice ->
                                        choice.name().toLowerCase(Locale.ROOT).replace('_', '-')),
                                usual.outboxFull()))));
  }
}
