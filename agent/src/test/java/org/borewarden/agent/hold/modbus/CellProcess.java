package org.borewarden.agent.hold.modbus;

import java.time.Duration;
import java.util.Locale;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.borewarden.demo.controller.CellListener;
import org.borewarden.demo.controller.CellState;
import org.borewarden.demo.controller.Controller;

/** A controller in a process of its own that measures the gaps between beats and prints them. */
final class CellProcess {
  private CellProcess() {}

  /** Arguments: host, port, seconds. Prints one line at the end. */
  public static void main(String[] arguments) throws Exception {
    Gaps gaps = new Gaps();
    Controller.Settings settings =
        new Controller.Settings(
            arguments[0],
            Integer.parseInt(arguments[1]),
            1,
            100,
            200,
            Duration.ofSeconds(10),
            1,
            7);
    try (Controller controller = Controller.start(settings)) {
      controller.listen(gaps);
      Await.until("a permit", () -> controller.state().permit());
      gaps.begin();
      boolean early = new CountDownLatch(1).await(Long.parseLong(arguments[2]), TimeUnit.SECONDS);
      assert !early : "nobody counts it down: it only measures time";
      System.out.println(gaps.text());
    }
  }

  private static final class Gaps implements CellListener {
    private final BeatGaps gaps = new BeatGaps();
    private final AtomicInteger permitLost = new AtomicInteger();
    private boolean running;
    private boolean permit;
    private int beat;
    private long at;

    synchronized void begin() {
      running = true;
    }

    @Override
    public synchronized void written(int[] blockA) {
      long now = System.nanoTime();
      if (running && blockA[1] != beat) {
        gaps.add((now - at) / 1_000_000);
      }
      at = blockA[1] == beat ? at : now;
      beat = blockA[1];
    }

    @Override
    public synchronized void changed(CellState state) {
      if (running && permit && !state.permit()) {
        permitLost.incrementAndGet();
      }
      permit = state.permit();
    }

    synchronized String text() {
      return String.format(
          Locale.ROOT, "%s permit went away %d times", gaps.text(), permitLost.get());
    }
  }
}
