package org.borewarden.agent.command;

import java.util.Locale;
import java.util.Optional;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Phase;

/** Writes answers as JSON, the same at every door. */
public final class AnswerText {
  private AnswerText() {}

  /**
   * The answer to a command whose record is synced.
   *
   * @param answered the answer
   * @param seq the seq of its record
   * @param phase the state of its cell after it, where one was meant
   * @return JSON in one line
   */
  public static String answered(
      Decision.CommandAnswered answered, long seq, Optional<Phase> phase) {
    StringBuilder json = begin(answered.commandId(), answered.code(), answered.detail());
    answered.cell().ifPresent(cell -> json.append(",\"cell\":").append(Envelope.quoted(cell)));
    phase.ifPresent(p -> json.append(",\"state\":").append(Envelope.quoted(key(p))));
    json.append(",\"hold\":").append(answered.hold());
    json.append(",\"revision\":").append(answered.revision());
    return json.append(",\"seq\":").append(seq).append('}').toString();
  }

  /**
   * The answer to a command that was refused at the door.
   *
   * @param id its id as far as it could be told
   * @param code why
   * @param detail where, expected, found
   * @return JSON in one line
   */
  public static String refused(Optional<String> id, AnswerCode code, String detail) {
    return begin(id.orElse(""), code, detail).append('}').toString();
  }

  private static StringBuilder begin(String id, AnswerCode code, String detail) {
    return new StringBuilder("{\"id\":")
        .append(Envelope.quoted(id))
        .append(",\"code\":\"")
        .append(code.key())
        .append("\",\"text_key\":\"answer.")
        .append(code.key())
        .append("\",\"detail\":")
        .append(Envelope.quoted(detail));
  }

  private static String key(Phase phase) {
    return phase.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
