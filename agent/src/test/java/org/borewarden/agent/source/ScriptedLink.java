package org.borewarden.agent.source;

import java.nio.charset.StandardCharsets;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.atomic.AtomicLong;

/**
 * A device that does what the test wrote down, one step a call; its quiet reads move the clock by a
 * tick, and nothing else does. When the script ends it stays silent without ticking.
 */
final class ScriptedLink implements ByteLink {
  private enum Kind {
    BYTES,
    QUIET,
    HASTY,
    GONE,
    FAULT,
    REFUSES
  }

  private record Step(Kind kind, String text) {}

  private final BlockingQueue<Step> reads = new LinkedBlockingQueue<>();
  private final BlockingQueue<Step> opens = new LinkedBlockingQueue<>();
  private final AtomicLong nanos = new AtomicLong(1);
  private final AtomicLong opened = new AtomicLong();

  ScriptedLink sends(String bytes) {
    reads.add(new Step(Kind.BYTES, bytes));
    return this;
  }

  ScriptedLink isQuiet(int ticks) {
    for (int i = 0; i < ticks; i++) {
      reads.add(new Step(Kind.QUIET, ""));
    }
    return this;
  }

  ScriptedLink isHasty(int reads) {
    for (int i = 0; i < reads; i++) {
      this.reads.add(new Step(Kind.HASTY, ""));
    }
    return this;
  }

  ScriptedLink isGone() {
    reads.add(new Step(Kind.GONE, ""));
    return this;
  }

  ScriptedLink hasAFault() {
    reads.add(new Step(Kind.FAULT, ""));
    return this;
  }

  ScriptedLink refusesToOpen(String key) {
    opens.add(new Step(Kind.REFUSES, key));
    return this;
  }

  long nanos() {
    return nanos.get();
  }

  long timesOpened() {
    return opened.get();
  }

  int stepsLeft() {
    return reads.size();
  }

  boolean isScriptRead() {
    return reads.isEmpty();
  }

  @Override
  public void open() throws LinkException {
    Step step = opens.poll();
    if (step != null) {
      throw new LinkException(step.text, "cannot open the scripted link: " + step.text);
    }
    opened.incrementAndGet();
  }

  @Override
  public int read(byte[] buffer) {
    Step step;
    try {
      step = reads.take();
    } catch (InterruptedException stopped) {
      Thread.currentThread().interrupt();
      return -1;
    }
    return switch (step.kind) {
      case BYTES -> copied(step.text, buffer);
      case QUIET -> quietRead();
      case HASTY -> 0;
      case GONE, REFUSES -> -1;
      case FAULT -> throw new IllegalStateException("a fault in the driver");
    };
  }

  @Override
  public void close() {
    // Nothing is held; a read that waits is interrupted by the feed.
  }

  /** Waiting to open again takes no time by this clock's own count, so each look moves it on. */
  @Override
  public boolean isPresent() {
    nanos.addAndGet(60_000_000_000L);
    return true;
  }

  @Override
  public String name() {
    return "scripted";
  }

  private int quietRead() {
    nanos.addAndGet(TICK_MILLIS * 1_000_000L);
    return 0;
  }

  private static int copied(String text, byte[] buffer) {
    byte[] bytes = text.getBytes(StandardCharsets.ISO_8859_1);
    System.arraycopy(bytes, 0, buffer, 0, bytes.length);
    return bytes.length;
  }
}
