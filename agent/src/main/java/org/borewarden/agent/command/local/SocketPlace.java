package org.borewarden.agent.command.local;

import java.io.IOException;
import java.net.StandardProtocolFamily;
import java.net.UnixDomainSocketAddress;
import java.nio.channels.ServerSocketChannel;
import java.nio.channels.SocketChannel;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import jdk.net.ExtendedSocketOptions;

/**
 * Where the socket lies. The folder's and the socket's group may connect and nobody else; whoever
 * could write into the folder could put a socket of his own there, so others must not.
 */
final class SocketPlace {
  private static final String FOLDER_MODE = "rwxrwx---";
  private static final String SOCKET_MODE = "rw-rw----";

  private SocketPlace() {}

  /** Opens the socket; what a dead agent left is removed, what a live one answers at is not. */
  static ServerSocketChannel open(Path socket) throws IOException {
    Path folder = socket.toAbsolutePath().getParent();
    if (folder == null) {
      throw new IOException("commands.socket: expected a file in a folder, found " + socket);
    }
    prepare(folder);
    clear(socket);
    ServerSocketChannel server = unixServer();
    try {
      server.bind(UnixDomainSocketAddress.of(socket));
      Files.setPosixFilePermissions(socket, PosixFilePermissions.fromString(SOCKET_MODE));
      server.configureBlocking(false);
      return server;
    } catch (IOException | RuntimeException e) {
      server.close();
      throw new IOException(
          "commands.socket: cannot listen at " + socket + ": " + e.getMessage(), e);
    }
  }

  private static ServerSocketChannel unixServer() throws IOException {
    try (SocketChannel probe = SocketChannel.open(StandardProtocolFamily.UNIX)) {
      if (probe.supportedOptions().contains(ExtendedSocketOptions.SO_PEERCRED)) {
        return ServerSocketChannel.open(StandardProtocolFamily.UNIX);
      }
    } catch (UnsupportedOperationException noSuchSockets) {
      throw new IOException("commands.socket: this system has no Unix sockets", noSuchSockets);
    }
    throw new IOException("commands.socket: this system does not tell who is at the other end");
  }

  private static void prepare(Path folder) throws IOException {
    if (Files.notExists(folder)) {
      Files.createDirectories(folder);
      // Set afterwards, since the umask would take the group's right to write.
      Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString(FOLDER_MODE));
    }
    if (Files.getPosixFilePermissions(folder).contains(PosixFilePermission.OTHERS_WRITE)) {
      throw new IOException(
          "commands.socket: expected a folder that not everybody may write, found " + folder);
    }
  }

  private static void clear(Path socket) throws IOException {
    if (Files.notExists(socket, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    if (!Files.readAttributes(socket, BasicFileAttributes.class, LinkOption.NOFOLLOW_LINKS)
        .isOther()) {
      throw new IOException("commands.socket: expected a socket or nothing, found " + socket);
    }
    if (answers(socket)) {
      throw new IOException("commands.socket: another agent answers at " + socket);
    }
    Files.delete(socket);
  }

  private static boolean answers(Path socket) {
    try (SocketChannel probe = SocketChannel.open(UnixDomainSocketAddress.of(socket))) {
      return probe.isConnected();
    } catch (IOException nobody) {
      return false;
    }
  }
}
