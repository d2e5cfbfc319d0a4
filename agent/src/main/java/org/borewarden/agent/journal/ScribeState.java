package org.borewarden.agent.journal;

/** What the scribe tells metrics and the store. Written by the scribe, read by any thread. */
final class ScribeState {
  private boolean writable;
  private long durableSeq;
  private long commits;
  private long commitNanos;
  private long bytes;

  ScribeState(long durableSeq) {
    this.durableSeq = durableSeq;
  }

  synchronized void writable(boolean value) {
    writable = value;
  }

  synchronized boolean writable() {
    return writable;
  }

  synchronized void durable(long seq) {
    durableSeq = seq;
  }

  synchronized long durableSeq() {
    return durableSeq;
  }

  synchronized void committed(long nanos) {
    commits++;
    commitNanos += nanos;
  }

  synchronized void kept(long size) {
    bytes = size;
  }

  synchronized long bytes() {
    return bytes;
  }

  synchronized long commits() {
    return commits;
  }

  synchronized long commitNanos() {
    return commitNanos;
  }
}
