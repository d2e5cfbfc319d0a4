package org.borewarden.demo.controller;

import java.util.List;
import java.util.concurrent.AbstractExecutorService;
import java.util.concurrent.TimeUnit;

/**
 * Serves a request on the thread that read it, as a controller does, where the library would hand
 * it to a pool: what is measured at the registers is then the agent's time and not the pool's.
 */
final class SameThread extends AbstractExecutorService {
  private volatile boolean ended;

  @Override
  public void execute(Runnable request) {
    request.run();
  }

  @Override
  public void shutdown() {
    ended = true;
  }

  @Override
  public List<Runnable> shutdownNow() {
    ended = true;
    return List.of();
  }

  @Override
  public boolean isShutdown() {
    return ended;
  }

  @Override
  public boolean isTerminated() {
    return ended;
  }

  @Override
  public boolean awaitTermination(long timeout, TimeUnit unit) {
    return ended;
  }
}
