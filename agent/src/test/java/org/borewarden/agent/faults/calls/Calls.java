package org.borewarden.agent.faults.calls;

import java.io.IOException;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;
import java.nio.MappedByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
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
  private static final int ARMED = 0;
  private static final int KINDS = WORD;
  private static final int NTH = 2 * WORD;
  private static final int ONWARD = 3 * WORD;
  private static final int FAULT = 4 * WORD;
  private static final int COUNTED = 5 * WORD;
  private static final int STRUCK = 6 * WORD;
  private static final int HEARD = 7 * WORD;
  private static final int PREFIX_AT = 8 * WORD;
  private static final int COPIES_AT = PREFIX_AT + PATH_BYTES;

  private final MappedByteBuffer page;

  private Calls(MappedByteBuffer page) {
    this.page = page;
  }

  /** What a call does to the files. */
  enum Kind {
    WRITE(1),
    SYNC(2),
    OPEN(4),
    TRUNCATE(8),
    UNLINK(16),
    RENAME(32),
    MKDIR(64);

    private final long bit;

    Kind(long bit) {
      this.bit = bit;
    }

    /** The kind that a copy's name bears. */
    static Kind of(long bit) {
      return Arrays.stream(values()).filter(kind -> kind.bit == bit).findFirst().orElseThrow();
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
      set(NTH, nth);
      set(ONWARD, onward ? 1 : 0);
      set(FAULT, fault.number);
      arm(EnumSet.of(kind), 1);
    }

    void disarm() {
      set(ARMED, 0);
    }

    /** How many calls have failed. */
    long struck() {
      return get(STRUCK);
    }

    /** So many records were heard: each copy bears the number in its name. */
    void heard(long count) {
      set(HEARD, count);
    }

    private void arm(Set<Kind> kinds, long how) {
      set(KINDS, kinds.stream().mapToLong(kind -> kind.bit).sum());
      set(COUNTED, 0);
      set(STRUCK, 0);
      set(HEARD, 0);
      set(ARMED, how);
    }

    private void put(int at, String path) {
      byte[] bytes = path.getBytes(StandardCharsets.UTF_8);
      if (bytes.length >= PATH_BYTES) {
        throw new IllegalArgumentException(
            "expected a path of less than " + PATH_BYTES + " bytes, found " + path);
      }
      byte[] padded = Arrays.copyOf(bytes, PATH_BYTES);
      page.put(base + at, padded);
    }

    private void set(int at, long value) {
      page.putLong(base + at, value);
      VarHandle.fullFence();
    }

    private long get(int at) {
      VarHandle.fullFence();
      return page.getLong(base + at);
    }
  }
}
