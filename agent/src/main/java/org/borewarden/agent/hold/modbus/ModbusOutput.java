package org.borewarden.agent.hold.modbus;

import java.time.Duration;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.rules.hold.AnswerCode;

/** A hold output over the register map, whichever side calls. */
public sealed interface ModbusOutput extends HoldOutput
    permits ModbusClientOutput, ModbusServerOutput {
  /**
   * Tells the cell the answer to its request with the next beat. Any thread; ids that are not of an
   * open request of this cell are ignored, so that every answer may be handed to every output.
   *
   * @param commandId the id of the command that is answered
   * @param code the answer
   */
  void answered(String commandId, AnswerCode code);

  /**
   * Whether the cell's echo moves. Any thread.
   *
   * @return false before the first three echoes and after a loss
   */
  boolean linkUp();

  /**
   * How long ago the echo last moved. Any thread.
   *
   * @return the age; since the output was made where it never moved
   */
  Duration echoAge();
}
