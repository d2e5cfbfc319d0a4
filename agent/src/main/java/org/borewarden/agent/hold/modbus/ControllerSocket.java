package org.borewarden.agent.hold.modbus;

import com.digitalpetri.modbus.MbapHeader;
import com.digitalpetri.modbus.ModbusTcpFrame;
import com.digitalpetri.modbus.client.ModbusTcpClientTransport;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.StandardSocketOptions;
import java.nio.ByteBuffer;
import java.nio.channels.SelectionKey;
import java.nio.channels.Selector;
import java.nio.channels.SocketChannel;
import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionStage;
import java.util.function.Consumer;

/**
 * The TCP side of one connection to a controller. A frame is written on the thread that brings it,
 * so that a withdrawn permit passes through no other thread; that thread never waits, and what the
 * system does not take at once costs the connection. A thread of its own reads the answers.
 *
 * <p>The library's own transport hands each frame to a thread of its pool, which on busy processors
 * costs a turn of the scheduler. {@link #send} is called by one thread at a time ({@link
 * BeatOrder}). It is closed by a reset (linger 0): what the system has not yet sent of an old beat
 * must not arrive after the connection that replaces this one.
 */
final class ControllerSocket implements ModbusTcpClientTransport {
  /** MODBUS Messaging on TCP/IP, 3.1.3: transaction, protocol, length, unit. */
  private static final int HEADER_BYTES = 7;

  /** The length field counts the unit, so it stands before the header's last byte. */
  private static final int BEFORE_UNIT = 6;

  private static final int LENGTH_AT = 4;
  private static final int LENGTH_MOST = 254;

  private final String host;
  private final int port;
  private final Duration connectWithin;
  private final CompletableFuture<Void> connected = new CompletableFuture<>();
  private final CompletableFuture<Void> closed = new CompletableFuture<>();
  private volatile Optional<SocketChannel> open = Optional.empty();
  private volatile Consumer<ModbusTcpFrame> receiver = frame -> {};
  private volatile Optional<Selector> waiting = Optional.empty();
  private volatile boolean closing;

  ControllerSocket(String host, int port, Duration connectWithin) {
    this.host = host;
    this.port = port;
    this.connectWithin = connectWithin;
  }

  @Override
  public CompletionStage<Void> connect() {
    Thread thread = new Thread(this::run, "modbus-answers-" + host + "-" + port);
    thread.setDaemon(true);
    thread.start();
    return connected;
  }

  @Override
  public CompletionStage<Void> disconnect() {
    closing = true;
    waiting.ifPresent(Selector::wakeup);
    return closed;
  }

  @Override
  public boolean isConnected() {
    return open.isPresent();
  }

  @Override
  public void receive(Consumer<ModbusTcpFrame> frameReceiver) {
    receiver = frameReceiver;
  }

  @Override
  public CompletionStage<Void> send(ModbusTcpFrame frame) {
    ByteBuffer bytes = ByteBuffer.allocate(HEADER_BYTES + frame.pdu().remaining());
    MbapHeader.Serializer.encode(frame.header(), bytes);
    bytes.put(frame.pdu());
    bytes.flip();
    try {
      SocketChannel channel = open.orElseThrow(() -> new IOException("the connection is closed"));
      channel.write(bytes);
      if (bytes.hasRemaining()) {
        disconnect();
        throw new IOException("the controller takes nothing");
      }
      return CompletableFuture.completedFuture(null);
    } catch (IOException e) {
      return CompletableFuture.failedFuture(e);
    }
  }

  private void run() {
    try (Selector selector = Selector.open();
        SocketChannel channel = SocketChannel.open()) {
      waiting = Optional.of(selector);
      channel.setOption(StandardSocketOptions.TCP_NODELAY, true);
      channel.setOption(StandardSocketOptions.SO_LINGER, 0);
      channel.configureBlocking(false);
      establish(selector, channel);
      open = Optional.of(channel);
      connected.complete(null);
      read(selector, channel);
    } catch (IOException | RuntimeException e) {
      connected.completeExceptionally(e); // no effect where it stood: the next write tells
    } finally {
      open = Optional.empty();
      closed.complete(null);
    }
  }

  private void establish(Selector selector, SocketChannel channel) throws IOException {
    if (!channel.connect(new InetSocketAddress(host, port))) {
      SelectionKey key = channel.register(selector, SelectionKey.OP_CONNECT);
      selector.select(connectWithin.toMillis());
      if (closing || !channel.finishConnect()) {
        throw new IOException("no connection within " + connectWithin.toMillis() + " ms");
      }
      key.interestOps(SelectionKey.OP_READ);
    } else {
      channel.register(selector, SelectionKey.OP_READ);
    }
  }

  private void read(Selector selector, SocketChannel channel) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(4 * (BEFORE_UNIT + LENGTH_MOST));
    while (!closing) {
      selector.select();
      selector.selectedKeys().clear();
      int count = channel.read(bytes);
      if (count < 0) {
        return;
      }
      bytes.flip();
      while (whole(bytes)) {
        receiver.accept(frame(bytes));
      }
      bytes.compact();
    }
  }

  /** Whether a frame is there; throws where what is there cannot be one. */
  private static boolean whole(ByteBuffer bytes) throws IOException {
    if (bytes.remaining() < HEADER_BYTES) {
      return false;
    }
    int protocol = Short.toUnsignedInt(bytes.getShort(bytes.position() + 2));
    int length = Short.toUnsignedInt(bytes.getShort(bytes.position() + LENGTH_AT));
    if (protocol != 0 || length < 2 || length > LENGTH_MOST) {
      throw new IOException("not Modbus: protocol " + protocol + ", length " + length);
    }
    return bytes.remaining() >= BEFORE_UNIT + length;
  }

  private static ModbusTcpFrame frame(ByteBuffer bytes) {
    MbapHeader header = MbapHeader.Serializer.decode(bytes);
    byte[] pdu = new byte[header.length() - 1];
    bytes.get(pdu);
    return new ModbusTcpFrame(header, ByteBuffer.wrap(pdu));
  }
}
