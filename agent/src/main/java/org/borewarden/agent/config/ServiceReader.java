package org.borewarden.agent.config;

import java.net.URI;
import java.net.URISyntaxException;
import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads where metrics are served and sent, and the limits of the journal. */
final class ServiceReader {
  static final int LEAST_QUEUE = 100;
  static final int MOST_QUEUE = 1_000_000;
  static final int MOST_DAYS = 3_650;
  static final int LEAST_MEBIBYTES = 64;
  static final int MOST_MEBIBYTES = 1_048_576;
  static final Duration LONGEST_COMMIT_WAIT = Duration.ofSeconds(1);

  static final Duration SHORTEST_SENDING = Duration.ofSeconds(5);
  static final Duration USUAL_SENDING = Duration.ofMinutes(1);
  static final Duration LONGEST_SENDING = Duration.ofHours(1);

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

  static Reader<OtlpConfig> otlp() {
    return Reader.of(
        "a mapping",
        item ->
            Fields.open(item, AgentKeys.OTLP)
                .flatMap(
                    fields -> {
                      Duration every =
                          fields.orElse(
                              "every",
                              Scalars.duration(SHORTEST_SENDING, LONGEST_SENDING),
                              USUAL_SENDING);
                      return fields
                          .required("url", receiver())
                          .map(url -> new OtlpConfig(url, every));
                    }));
  }

  private static Reader<URI> receiver() {
    return Reader.scalar(
        "an address such as \"http://127.0.0.1:4318/v1/metrics\"; https beyond this machine, without"
            + " user or password",
        text -> parsed(text).filter(ServiceReader::isReceiver));
  }

  private static Optional<URI> parsed(String text) {
    try {
      return Optional.of(new URI(text));
    } catch (URISyntaxException e) {
      return Optional.empty();
    }
  }

  private static boolean isReceiver(URI url) {
    String host = Optional.ofNullable(url.getHost()).orElse("");
    boolean plain = "http".equals(url.getScheme()) && Hosts.isLoopback(host);
    return !host.isEmpty()
        && (plain || "https".equals(url.getScheme()))
        && url.getUserInfo() == null
        && url.getFragment() == null;
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
