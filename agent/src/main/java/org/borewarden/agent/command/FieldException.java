package org.borewarden.agent.command;

import org.borewarden.rules.hold.AnswerCode;

/** A field is not what it should be; caught where the command is read. */
final class FieldException extends Exception {
  private static final long serialVersionUID = 1L;

  private final AnswerCode code;

  FieldException(AnswerCode code, String detail) {
    super(detail);
    this.code = code;
  }

  AnswerCode code() {
    return code;
  }

  String detail() {
    return String.valueOf(getMessage());
  }
}
