package org.borewarden.agent.journal;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;

/**
 * The chain of SHA-256 hashes that ties each entry to all before it. A link is the hash of the link
 * before, the four numbers and the time as 64-bit big-endian, and the four texts as UTF-8, each
 * with its length before it (-1 for an absent topic). The first link hangs on the journal's id.
 *
 * <p>It shows damage and careless changes. It is not signed: who can write the file can forge a
 * whole chain.
 *
 * <p>One thread each.
 */
final class Chain {
  private static final int ABSENT = -1;

  private final MessageDigest sha256 = newSha256();
  private final ByteBuffer numbers = ByteBuffer.allocate(4 * Long.BYTES);
  private final ByteBuffer length = ByteBuffer.allocate(Integer.BYTES);

  byte[] genesis(String journalId) {
    addText("borewarden journal");
    addText(journalId);
    return sha256.digest();
  }

  byte[] next(byte[] before, Entry entry) {
    sha256.update(before);
    numbers.clear();
    numbers.putLong(entry.seq()).putLong(entry.cause());
    numbers.putLong(entry.at().toEpochMilli()).putLong(entry.prev());
    sha256.update(numbers.flip());
    addText(entry.kind());
    if (entry.topic().isPresent()) {
      addText(entry.topic().get());
    } else {
      addLength(ABSENT);
    }
    addText(entry.rules());
    addText(entry.body());
    return sha256.digest();
  }

  /** The hash of a text that is kept beside the chain. */
  byte[] ofText(String text) {
    addText(text);
    return sha256.digest();
  }

  private void addText(String text) {
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    addLength(bytes.length);
    sha256.update(bytes);
  }

  private void addLength(int value) {
    length.clear();
    length.putInt(value);
    sha256.update(length.flip());
  }

  private static MessageDigest newSha256() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform must offer SHA-256", e);
    }
  }
}
