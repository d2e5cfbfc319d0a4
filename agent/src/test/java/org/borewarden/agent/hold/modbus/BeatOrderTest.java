package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.demo.controller.CellListener;
import org.borewarden.demo.controller.Controller;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.Test;

/** Two threads write to one controller, and it sees the beats in their order all the same. */
class BeatOrderTest {
  private static final int BEATS = 4_000;

  @Test
  void noImageArrivesAfterOneWithANewerBeatAndNoPermitAfterItsWithdrawal() throws Exception {
    long seed = System.nanoTime();
    Random random = new Random(seed);
    List<int[]> arrived = Collections.synchronizedList(new ArrayList<>());
    try (Controller controller =
        Controller.start(Controller.Settings.loopback(Duration.ofMillis(60)))) {
      controller.listen(
          new CellListener() {
            @Override
            public void written(int[] blockA) {
              arrived.add(blockA.clone());
            }
          });
      ModbusClientOutput output = started(controller.port());
      int beat = 0;
      int withdrawals = 0;
      boolean permits = true;
      try {
        output.beat(++beat, Images.permitted());
        Await.until("a connection", () -> !arrived.isEmpty());
        while (beat < BEATS) {
          permits = random.nextInt(3) > 0;
          PermitImage image = permits ? Images.permitted() : Images.held(3, StopKind.END_OF_PART);
          output.beat(++beat, image);
          withdrawals += permits ? 0 : 1;
          LockSupport.parkNanos(random.nextInt(4) * 100_000L);
        }
        output.beat(++beat, Images.held(3, StopKind.END_OF_PART));
        int last = beat;
        Await.until("the last beat", () -> controller.blockA()[1] == last);
      } finally {
        output.close();
      }
      System.err.printf(
          "beat order: seed %d, %d images of %d beats, %d withdrawn%n",
          seed, arrived.size(), beat, withdrawals);
      assertThat(arrived.stream().map(a -> a[1]).toList()).as("seed %d", seed).isSorted();
      assertThat(controller.blockA()[2] & 1).as("seed %d", seed).isZero();
    }
  }

  @Test
  void anOlderBeatIsNotWrittenAnyMore() throws Exception {
    try (Controller controller =
        Controller.start(Controller.Settings.loopback(Duration.ofMillis(60)))) {
      Wires wires = wires();
      BeatOrder order = new BeatOrder(new CellSide("cell-4", wires, Duration.ofSeconds(1)), wires);
      ControllerConnection connection =
          new ControllerConnection(ModbusClientOutputTest.config(controller.port()));
      connection.connect().get(30, TimeUnit.SECONDS);
      order.opened(connection);
      assertThat(order.withdraw(held(7))).as("the first of a connection").isEmpty();
      assertThat(order.write(held(7))).isPresent();
      assertThat(order.write(new Shown(6, Images.permitted(), 0))).as("older").isEmpty();
      assertThat(order.write(new Shown(65_535, Images.permitted(), 0))).as("older").isEmpty();
      assertThat(order.write(new Shown(8, Images.permitted(), 0))).as("newer").isPresent();
      assertThat(order.withdraw(held(9))).as("behind what is unanswered").isPresent();
      order.closed();
      assertThat(order.withdraw(held(10))).as("nowhere to go").isEmpty();
      connection.close();
    }
  }

  private static Shown held(int beat) {
    return new Shown(beat, Images.held(3, StopKind.END_OF_PART), 0);
  }

  private static ModbusClientOutput started(int port) {
    ModbusClientOutput output =
        new ModbusClientOutput("cell-4", ModbusClientOutputTest.config(port), wires());
    output.start();
    return output;
  }

  private static Wires wires() {
    return new Wires(new Recorder(), System::nanoTime, LinkMeter.NONE, number -> Optional.empty());
  }
}
