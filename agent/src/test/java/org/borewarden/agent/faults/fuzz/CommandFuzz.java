package org.borewarden.agent.faults.fuzz;

import java.nio.ByteBuffer;
import java.time.Instant;
import org.borewarden.agent.command.CommandName;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.command.CommandText;
import org.borewarden.agent.command.Sender;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;

/** A command's payload against its reader, in the role of each name. */
public final class CommandFuzz {
  private static final CommandReader READER =
      new CommandReader(() -> Instant.parse("2026-03-02T14:05:10Z"), () -> true);

  private CommandFuzz() {}

  /**
   * It is read or refused with a code, and a cell never gives back a permit.
   *
   * @param data the payload
   */
  public static void fuzzerTestOneInput(byte[] data) {
    for (CommandName name : CommandName.values()) {
      for (Role role : new Role[] {Role.SUPERVISOR, Role.CELL}) {
        CommandText text =
            READER.read(name, new Sender(role, "topic:" + role.key(), true), ByteBuffer.wrap(data));
        if (text instanceof CommandText.Read read) {
          require(role, read.command().order());
        } else if (((CommandText.Refused) text).detail().length() > 1000) {
          throw new IllegalStateException("a refusal of more than 1000 characters");
        }
      }
    }
  }

  private static void require(Role role, Order order) {
    boolean gives = order instanceof Order.Release || order instanceof Order.Bypass;
    if (gives && role == Role.CELL) {
      throw new IllegalStateException("a cell may not ask for " + order);
    }
  }
}
