package org.borewarden.agent.hold.modbus;

/**
 * What the agent answers in registers A16 to A18.
 *
 * @param request the number of the cell's last request that was answered; 0 none since the start
 * @param code its answer, the ordinal of the answer code
 * @param context the number of the cell's last context that was taken; 0 none since the start
 */
record Answers(int request, int code, int context) {
  static final Answers NONE = new Answers(0, 0, 0);

  Answers withRequest(int number, int answerCode) {
    return new Answers(number, answerCode, context);
  }

  Answers withContext(int number) {
    return new Answers(request, code, number);
  }
}
