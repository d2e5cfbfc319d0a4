package org.borewarden.agent.publish;

import com.fasterxml.jackson.core.io.JsonStringEncoder;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Optional;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalIds;

/**
 * What every record carries before its own members: who says it, in which journal, at which place,
 * when and under which rules. {@code agent + journal + seq} names a record for ever; {@code prev}
 * is the seq before it on the same topic.
 *
 * @param agent the agent's id
 * @param journal the journal's ids
 */
public record Envelope(String agent, JournalIds journal) {
  private static final DateTimeFormatter STAMP =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'", Locale.ROOT)
          .withZone(ZoneOffset.UTC);

  /**
   * An envelope for a journal of one id.
   *
   * @param agent the agent's id
   * @param journal the journal's id
   */
  public Envelope(String agent, String journal) {
    this(agent, JournalIds.always(journal));
  }

  /**
   * Puts the envelope before an entry's members.
   *
   * @param entry a journal entry
   * @return the payload, or empty where the entry's body is not a JSON object
   */
  public Optional<String> around(Entry entry) {
    String body = entry.body().strip();
    if (body.length() < 2 || body.charAt(0) != '{' || body.charAt(body.length() - 1) != '}') {
      return Optional.empty();
    }
    String members = body.substring(1).stripLeading();
    String between = members.startsWith("}") ? "" : ",";
    return Optional.of(
        "{\"agent\":"
            + quoted(agent)
            + ",\"journal\":"
            + quoted(journal.of(entry.seq()))
            + ",\"seq\":"
            + entry.seq()
            + ",\"prev\":"
            + entry.prev()
            + ",\"at\":\""
            + stamp(entry.at())
            + "\",\"rules\":"
            + quoted(entry.rules())
            + between
            + members);
  }

  /**
   * A time as payloads show it.
   *
   * @param at the time
   * @return RFC 3339, UTC, three digits
   */
  public static String stamp(Instant at) {
    return STAMP.format(at);
  }

  /**
   * A text as JSON.
   *
   * @param text any text
   * @return in quotation marks, escaped
   */
  public static String quoted(String text) {
    return '"' + new String(JsonStringEncoder.getInstance().quoteAsString(text)) + '"';
  }
}
