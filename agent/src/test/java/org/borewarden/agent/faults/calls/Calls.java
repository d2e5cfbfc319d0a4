package org.borewarden.agent.faults.calls;

import java.io.IOException;
import java.nio.ByteOrder;
import java.nio.MappedByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.EnumSet;
import java.util.Set;

/**
 * The page of memory that {@code calls.c} looks at before each call. Its layout stands in both.
 *
 * <p>A slot belongs to one life at a time, which is on one thread; the library counts on others.
 */
final class Calls {
  static final int SLOTS = 16;
  private static final int SLOT_BYTES = 1024;
  static final int BYTES = SLOTS * SLOT_BYTES;
  private static final int WORD = 8;
  private static final int PATH_BYTES = 400;
  private static final int PREFIX_AT = 8 * WORD;
  private static final int COPIES_AT = PREFIX_AT + PATH_BYTES;

  private final MappedByteBuffer page;

  private Calls(MappedByteBuffer page) {
    this.page = page;
  }

  /** What a call does to the files. */
  enum Kind {
    WRITE,
    SYNC,
    OPEN,
    TRUNCATE,
    UNLINK,
    RENAME,
    MKDIR;

    private long bit() {
      return 1L << ordinal();
    }
  }

  /** How a call goes wrong. */
  enum Fault {
    /** EIO. */
    IO_ERROR(5),
    /** ENOSPC. */
    NO_SPACE(28),
    /** EINTR: nothing was done, and the caller may ask again. */
    INTERRUPTED(4),
    /** EMFILE. */
    TOO_MANY_FILES(24),
    /** A write that takes only the first half of what it was given. */
    HALF(-1),
    /** Taken for done and not done: no disk may do that, so this is the control. */
    DROPPED(-2);

    private final long number;

    Fault(long number) {
      this.number = number;
    }
  }

  private enum Word {
    ARMED,
    KINDS,
    NTH,
    ONWARD,
    FAULT,
    CALLS,
    STRUCK,
    HEARD
  }

  /** Maps the page, which the library has mapped too. */
  static Calls map(Path file) throws IOException {
    try (FileChannel channel =
        FileChannel.open(
            file, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE)) {
      MappedByteBuffer page = channel.map(FileChannel.MapMode.READ_WRITE, 0, BYTES);
      page.order(ByteOrder.nativeOrder());
      return new Calls(page);
    }
  }

  /** The slot of a number from 0. */
  Slot slot(int number) {
    return new Slot(number * SLOT_BYTES);
  }

  /** One life's faults. */
  final class Slot {
    private final int base;

    private Slot(int base) {
      this.base = base;
    }

    /** The slot is about the journal of a data folder from now on; armed for nothing. */
    void about(Path data) {
      disarm();
      put(PREFIX_AT, data.resolve("journal").toString());
    }

    /** Before each call the data folder is copied into a folder of its own in there. */
    void copyTo(Path copies) {
      put(COPIES_AT, copies.toString());
      arm(EnumSet.allOf(Kind.class), 2);
    }

    /** The n-th call of a kind fails, or that and all later ones. */
    void fail(Kind kind, Fault fault, int nth, boolean onward) {
      set(Word.NTH, nth);
      set(Word.ONWARD, onward ? 1 : 0);
      set(Word.FAULT, fault.number);
      arm(EnumSet.of(kind), 1);
    }

    void disarm() {
      set(Word.ARMED, 0);
    }

    /** How many calls have failed. */
    long struck() {
      return get(Word.STRUCK);
    }

    /** So many records were heard: each copy bears the number in its name. */
    void heard(long count) {
      set(Word.HEARD, count);
    }

    private void arm(Set<Kind> kinds, long how) {
      set(Word.KINDS, kinds.stream().mapToLong(Kind::bit).sum());
      set(Word.CALLS, 0);
      set(Word.STRUCK, 0);
      set(Word.HEARD, 0);
      set(Word.ARMED, how);
    }

    private void put(int at, String path) {
      byte[] bytes = path.getBytes(StandardCharsets.UTF_8);
      if (bytes.length >= PATH_BYTES) {
        throw new IllegalArgumentException(
            "expected a path of less than " + PATH_BYTES + " bytes, found " + path);
      }
      byte[] padded = java.util.Arrays.copyOf(bytes, PATH_BYTES);
      page.put(base + at, padded);
    }

    private synchronized void set(Word word, long value) {
      page.putLong(base + word.ordinal() * WORD, value);
      java.lang.invoke.VarHandle.fullFence();
    }

    private long get(Word word) {
      java.lang.invoke.VarHandle.fullFence();
      return page.getLong(base + word.ordinal() * WORD);
    }
  }
}
