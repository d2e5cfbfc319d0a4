package org.borewarden.agent.source;

import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.config.Asking;

/**
 * Asks a gauge that says nothing by itself: at once after opening, and then by the clock; or each
 * time a line of its port is raised, looked at with every read; or when {@link #ask()} says so. An
 * answer that comes late is read all the same, so that a slow gauge is asked again and never twice
 * at once. One thread, but for {@link #close()} and {@link #ask()}.
 */
public final class AskingLink implements ByteLink {
  private final TwoWayLink link;
  private final byte[] request;
  private final Asking asking;
  private final MonotonicClock clock;
  private final AtomicBoolean asked = new AtomicBoolean();
  private long dueNanos;

  /** A switch that is found down was pressed for the reading before. */
  private boolean raised = true;

  /**
   * A link that is not yet open.
   *
   * @param link the device
   * @param asking what to send and how often
   * @param clock for the times between
   */
  public AskingLink(TwoWayLink link, Asking asking, MonotonicClock clock) {
    this.link = link;
    this.request = asking.send().getBytes(StandardCharsets.ISO_8859_1);
    this.asking = asking;
    this.clock = clock;
  }

  /**
   * Sends the request with the next read, within a tenth of a second; asked twice before that, it
   * is sent once. Any thread. Without effect where a time or a line asks.
   */
  public void ask() {
    asked.set(true);
  }

  @Override
  public void open() throws LinkException {
    link.open();
    // What was asked of a line that is gone is not answered by another part.
    asked.set(false);
    dueNanos = clock.nanos();
    raised = true;
  }

  @Override
  public int read(byte[] buffer) {
    return isDue() && !link.write(request) ? -1 : link.read(buffer);
  }

  private boolean isDue() {
    if (asking.isByCommand()) {
      return asked.getAndSet(false);
    }
    if (asking.on().isPresent()) {
      boolean before = raised;
      raised = link.isRaised(asking.on().get());
      return raised && !before;
    }
    long now = clock.nanos();
    boolean due = now - dueNanos >= 0;
    if (due) {
      dueNanos = now + asking.every().orElseThrow().toNanos();
    }
    return due;
  }

  @Override
  public void close() {
    link.close();
  }

  @Override
  public void release() {
    link.release();
  }

  @Override
  public boolean isPresent() {
    return link.isPresent();
  }

  @Override
  public boolean beginsWhole() {
    return link.beginsWhole();
  }

  @Override
  public Optional<String> bookmark() {
    return link.bookmark();
  }

  @Override
  public String name() {
    return link.name();
  }
}
