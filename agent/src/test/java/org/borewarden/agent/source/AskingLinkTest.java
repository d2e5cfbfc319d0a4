package org.borewarden.agent.source;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.Asking;
import org.borewarden.agent.config.Asking.Line;
import org.junit.jupiter.api.Test;

/**
 * A foot switch on a line of the port. A pseudo terminal has no such lines, so that the port itself
 * is played here.
 */
class AskingLinkTest {
  private final Port port = new Port();
  private final AskingLink link =
      new AskingLink(
          port, new Asking("R\r", Optional.empty(), Optional.of(Line.DSR)), System::nanoTime);

  @Test
  void eachPressOfTheSwitchAsksOnceAndOneThatIsHeldAtOpeningAsksNothing() throws Exception {
    link.open();
    port.dsr = true;
    read(3);
    assertThat(port.asked).isEmpty();
    port.dsr = false;
    read(1);
    port.dsr = true;
    read(3);
    port.dsr = false;
    read(2);
    port.dsr = true;
    read(1);
    assertThat(port.asked).containsExactly("R\r", "R\r");
    link.close();
    link.open();
    read(2);
    assertThat(port.asked).as("held while the port was opened again").hasSize(2);
  }

  @Test
  void aPortThatIsGoneWhenItIsAskedIsTold() throws Exception {
    link.open();
    port.dsr = false;
    read(1);
    port.dsr = true;
    port.gone = true;
    assertThat(link.read(new byte[8])).isNegative();
  }

  @Test
  void aCommandAsksOnceAndNotALineThatWasOpenedAfterIt() throws Exception {
    AskingLink byCommand = new AskingLink(port, Asking.byCommand("R\r"), System::nanoTime);
    byCommand.open();
    assertThat(byCommand.read(new byte[8])).isZero();
    assertThat(port.asked).as("nobody asked").isEmpty();
    byCommand.ask();
    byCommand.ask();
    assertThat(byCommand.read(new byte[8])).isZero();
    assertThat(byCommand.read(new byte[8])).isZero();
    assertThat(port.asked).containsExactly("R\r");
    byCommand.ask();
    byCommand.close();
    byCommand.open();
    assertThat(byCommand.read(new byte[8])).isZero();
    assertThat(port.asked).as("asked before the line was lost").hasSize(1);
  }

  private void read(int times) {
    for (int i = 0; i < times; i++) {
      assertThat(link.read(new byte[8])).isZero();
    }
  }

  private static final class Port implements TwoWayLink {
    private final List<String> asked = new ArrayList<>();
    private boolean dsr;
    private boolean gone;

    @Override
    public void open() {}

    @Override
    public int read(byte[] buffer) {
      return 0;
    }

    @Override
    public boolean write(byte[] bytes) {
      if (!gone) {
        asked.add(new String(bytes, StandardCharsets.US_ASCII));
      }
      return !gone;
    }

    @Override
    public boolean isRaised(Line line) {
      return line == Line.DSR && dsr;
    }

    @Override
    public void close() {}

    @Override
    public boolean isPresent() {
      return true;
    }

    @Override
    public String name() {
      return "played port";
    }
  }
}
