package org.borewarden.agent.faults.sim;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.agent.config.GaugeConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.decode.Decoded;
import org.borewarden.agent.decode.FrameDecoder;
import org.borewarden.agent.faults.Shop;
import org.borewarden.agent.frame.Cut;
import org.borewarden.agent.frame.Framer;
import org.borewarden.agent.loop.Inbox;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.measure.Unit;

/**
 * A gauge on a line that garbles and breaks, and the agent's own framer and decoder at its end. A
 * value whose frame did not arrive whole is sent again, as an operator measures again.
 */
final class SimGauge {
  private static final PortConfig PORT =
      new PortConfig(
          Shop.PORT,
          new PortConfig.Tcp("simulated", 1, java.time.Duration.ofSeconds(1)),
          new PortConfig.Frame(Optional.empty(), 64),
          "\\s*(?P<value>[-+]?[0-9.]+)\\s*(?P<unit>mm)?\\s*",
          false,
          Optional.empty());
  private static final List<GaugeConfig> GAUGES =
      List.of(
          new GaugeConfig(Shop.GAUGE, Shop.PORT, Optional.empty(), Optional.of(Unit.MILLIMETRE)));
  private static final FrameDecoder DECODER = new FrameDecoder(PORT, GAUGES);

  private final Random random;
  private final long day;
  private final Framer framer = new Framer(PORT.frame());
  private final Inbox inbox;
  private final int most;
  private int next;
  private byte[] line = new byte[0];
  private int sent;
  private boolean isValue;
  private boolean connected;
  private int noises;

  SimGauge(Random random, long day, Inbox inbox, int next, int most) {
    this.random = random;
    this.day = day;
    this.inbox = inbox;
    this.next = next;
    this.most = most;
  }

  boolean connected() {
    return connected;
  }

  boolean isDone() {
    return next >= most && sent == line.length;
  }

  /** Frames of noise that this life has taken whole. */
  int noises() {
    return noises;
  }

  void connect() {
    connected = true;
    framer.opened();
    // Ends what the start of the line may have garbled.
    line = "\r\n".getBytes(StandardCharsets.ISO_8859_1);
    sent = 0;
    isValue = false;
    inbox.offer(Shop.source(true));
  }

  /** The plug is pulled, perhaps in the middle of a frame. */
  void drop() {
    connected = false;
    if (isValue && sent < line.length - 1) {
      next--;
    }
    line = new byte[0];
    sent = 0;
    isValue = false;
    framer.lost().ifPresent(this::take);
    inbox.offer(Shop.source(false));
  }

  /** Some more bytes arrive. */
  void emit(boolean mayGarble, boolean dropReadings) {
    if (sent == line.length) {
      begin(mayGarble);
    }
    int count = Math.min(line.length - sent, 1 + random.nextInt(24));
    byte[] chunk = new byte[count];
    System.arraycopy(line, sent, chunk, 0, count);
    sent += count;
    for (Cut cut : framer.take(chunk, count)) {
      if (!dropReadings) {
        take(cut);
      }
    }
  }

  private void begin(boolean mayGarble) {
    sent = 0;
    isValue = !(mayGarble && random.nextInt(14) == 0);
    String text = isValue ? Shop.value(day, next++) + (random.nextBoolean() ? " mm" : "") : noise();
    line = (text + "\r\n").getBytes(StandardCharsets.ISO_8859_1);
  }

  private String noise() {
    int length = 1 + random.nextInt(random.nextInt(5) == 0 ? 200 : 20);
    StringBuilder noise = new StringBuilder("?");
    for (int i = 0; i < length; i++) {
      noise.append("#\u0000\u00FF!%&xyz~\u0007".charAt(random.nextInt(11)));
    }
    return noise.toString();
  }

  private void take(Cut cut) {
    inbox.offer(event(cut));
  }

  private Event event(Cut cut) {
    if (cut instanceof Cut.Whole whole) {
      Decoded decoded = DECODER.decode(whole.text()).get(0);
      if (decoded instanceof Decoded.Accepted accepted) {
        return new Event.ReadingTaken(accepted.reading());
      }
      Decoded.Refused refused = (Decoded.Refused) decoded;
      noises++;
      return rejected(refused.why().key(), refused.detail(), refused.offset());
    }
    noises++;
    return rejected(((Cut.Broken) cut).flaw().key(), "no frame", 0);
  }

  private static Event rejected(String why, String detail, int offset) {
    return new Event.FrameRejected(Shop.GAUGE, why, detail, offset, "?", 0);
  }
}
