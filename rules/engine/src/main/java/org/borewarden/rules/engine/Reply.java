package org.borewarden.rules.engine;

import java.util.Optional;
import org.borewarden.rules.hold.AnswerCode;

/**
 * The answer to a command.
 *
 * @param code the code
 * @param detail what the code alone does not tell, in words; may be empty
 */
record Reply(AnswerCode code, String detail) {
  static Reply of(AnswerCode code) {
    return new Reply(code, "");
  }

  static Reply of(Optional<AnswerCode> code) {
    return of(code.orElse(AnswerCode.ACCEPTED));
  }
}
