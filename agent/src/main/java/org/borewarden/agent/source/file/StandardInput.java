package org.borewarden.agent.source.file;

import java.io.IOException;
import java.io.InputStream;
import java.util.Arrays;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import org.borewarden.agent.source.ByteLink;
import org.borewarden.agent.source.LinkException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * What is piped into the agent. A read of a pipe cannot be ended from outside, so a daemon thread
 * reads it and waits while nobody takes. Once ended it stays ended.
 */
public final class StandardInput implements ByteLink {
  private static final int BLOCKS = 4;
  private static final int BLOCK_BYTES = 1_024;
  private static final byte[] END = {};
  private static final Logger LOG = LoggerFactory.getLogger(StandardInput.class);

  private final InputStream in;
  private final BlockingQueue<byte[]> blocks = new ArrayBlockingQueue<>(BLOCKS);
  private final AtomicBoolean started = new AtomicBoolean();
  private volatile boolean ended;

  /**
   * A link that is not yet open.
   *
   * @param in standard input, read by nobody else
   */
  public StandardInput(InputStream in) {
    this.in = in;
  }

  @Override
  public void open() throws LinkException {
    if (ended) {
      throw new LinkException("ended", "standard input has ended");
    }
    if (started.compareAndSet(false, true)) {
      Thread thread = new Thread(this::pump, "standard-input");
      thread.setDaemon(true);
      thread.start();
    }
  }

  @Override
  public int read(byte[] buffer) {
    try {
      byte[] block = blocks.poll(TICK_MILLIS, TimeUnit.MILLISECONDS);
      if (block == null) {
        return 0;
      }
      if (block.length == 0) {
        ended = true;
        return -1;
      }
      System.arraycopy(block, 0, buffer, 0, block.length);
      return block.length;
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
      return -1;
    }
  }

  /** The pipe is not closed: nothing could be read from it any more. */
  @Override
  public void close() {}

  @Override
  public boolean beginsWhole() {
    return true;
  }

  @Override
  public boolean isPresent() {
    return true;
  }

  @Override
  public String name() {
    return "standard input";
  }

  private void pump() {
    byte[] bytes = new byte[BLOCK_BYTES];
    try {
      for (int length = in.read(bytes); length >= 0; length = in.read(bytes)) {
        if (length > 0) {
          blocks.put(Arrays.copyOf(bytes, length));
        }
      }
      blocks.put(END);
    } catch (IOException broken) {
      LOG.warn("Standard input broke: {}", broken.getMessage());
      if (!blocks.offer(END)) {
        ended = true;
      }
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }
}
