package org.borewarden.agent.command;

import java.util.Optional;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.hold.AnswerCode;

/** What became of reading a command. */
public sealed interface CommandText {

  /**
   * It is well formed.
   *
   * @param command the command
   * @param answerTo where the sender wants the answer, for protocols without a place for it
   */
  record Read(Command command, Optional<String> answerTo) implements CommandText {}

  /**
   * It is not.
   *
   * @param code why
   * @param id its id as far as it could be told
   * @param answerTo where the sender wants the answer, as far as it could be told
   * @param detail where, expected, found
   */
  record Refused(AnswerCode code, Optional<String> id, Optional<String> answerTo, String detail)
      implements CommandText {}
}
