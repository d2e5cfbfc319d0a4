package org.borewarden.agent.service;

import com.sun.jna.Native;
import com.sun.jna.NativeLong;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;

/**
 * A datagram socket of the Unix kind, to write to. The standard library has stream sockets of that
 * kind only, and the notification protocol of service managers (sd_notify(3)) wants datagrams.
 */
final class NotifySocket {
  private static final int AF_UNIX = 1;
  // Values of Linux, on x86-64 and both Arms alike.
  private static final int SOCK_DGRAM_CLOEXEC = 2 | 0x80000;

  /** The room for a path in the address, with the zero byte at its end (unix(7)). */
  private static final int LONGEST_PATH = 107;

  private final byte[] address;

  /**
   * A socket's address.
   *
   * @param path an absolute path; or a name after {@code @}, which lies in no folder
   */
  NotifySocket(String path) {
    byte[] name = path.getBytes(StandardCharsets.UTF_8);
    boolean outside = path.startsWith("@");
    if (!(outside || path.startsWith("/")) || name.length > LONGEST_PATH) {
      throw new IllegalArgumentException("expected a path or a name after @, found " + path);
    }
    ByteBuffer raw = ByteBuffer.allocate(2 + name.length + (outside ? 0 : 1));
    raw.order(ByteOrder.nativeOrder()).putShort((short) AF_UNIX);
    raw.put(name);
    if (outside) {
      raw.put(2, (byte) 0);
    }
    this.address = raw.array();
  }

  /** The few calls of the C library. */
  private static final class LibC {
    static {
      Native.register(LibC.class, "c");
    }

    private LibC() {}

    static native int socket(int domain, int type, int protocol);

    static native int connect(int socket, byte[] address, int length);

    static native NativeLong write(int socket, byte[] bytes, NativeLong count);

    static native int close(int socket);
  }

  /** Sends one message. Any thread; a full receiver makes it wait. */
  void send(String message) throws IOException {
    byte[] bytes = message.getBytes(StandardCharsets.UTF_8);
    int socket = LibC.socket(AF_UNIX, SOCK_DGRAM_CLOEXEC, 0);
    if (socket < 0) {
      throw new IOException("making a socket: error " + Native.getLastError());
    }
    try {
      if (LibC.connect(socket, Arrays.copyOf(address, address.length), address.length) < 0
          || LibC.write(socket, bytes, new NativeLong(bytes.length)).intValue() != bytes.length) {
        throw new IOException("writing to the service manager: error " + Native.getLastError());
      }
    } finally {
      LibC.close(socket);
    }
  }
}
