package org.borewarden.agent.mqtt;

import java.io.FilterInputStream;
import java.io.FilterOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketAddress;
import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLParameters;
import javax.net.ssl.SSLSocket;

/**
 * The socket that is given to the MQTT client, plain or with TLS layered inside, so that the client
 * believes it plain in both cases. That gives us what the client's own TLS does not:
 *
 * <ul>
 *   <li>{@link #abort()} closes the TCP socket beneath TLS, without waiting for a lock that a
 *       writer to a frozen broker holds for ever.
 *   <li>Reading reports nothing before the first byte was written. A peer that accepts and closes
 *       at once would otherwise be seen while the client is still starting its threads, and one of
 *       them would then wait for ever.
 *   <li>The host name is verified, TLS is 1.2 or newer, whatever the client's defaults.
 * </ul>
 *
 * <p>The address given to {@link #connect} is ignored; host and port are those of the settings.
 */
final class LinkSocket extends Socket {
  private static final String[] PROTOCOLS = {"TLSv1.3", "TLSv1.2"};
  private static final int LINGER_SECONDS = 1;
  private static final long CLIENT_STARTS_WITHIN_MILLIS = 600;

  private final String host;
  private final int port;
  private final Optional<SSLContext> tls;
  private final CountDownLatch written = new CountDownLatch(1);
  private volatile Socket raw = new Socket();
  private volatile Socket top = raw;
  private volatile boolean aborted;
  private volatile boolean established;
  private volatile int readTimeoutMillis = 1000;

  LinkSocket(String host, int port, Optional<SSLContext> tls) {
    this.host = host;
    this.port = port;
    this.tls = tls;
  }

  /**
   * Closes the TCP socket, from any thread; unsent bytes are thrown away. A client that is just
   * starting its threads is given a moment to finish that, since it would leak one otherwise.
   */
  void abort() {
    aborted = true;
    if (established) {
      awaitFirstByte();
    }
    try {
      raw.setSoLinger(true, 0);
    } catch (SocketException alreadyClosed) {
      // Then there is nothing to throw away.
    }
    try {
      raw.close();
    } catch (IOException alreadyGone) {
      // Closing is all that was wanted.
    }
    written.countDown();
  }

  private void awaitFirstByte() {
    try {
      // Whether it came or not, the socket is closed next.
      boolean unused = written.await(CLIENT_STARTS_WITHIN_MILLIS, TimeUnit.MILLISECONDS);
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void connect(SocketAddress ignored) throws IOException {
    connect(ignored, 0);
  }

  @Override
  public void connect(SocketAddress ignored, int timeoutMillis) throws IOException {
    connectTcp(timeoutMillis);
    if (tls.isPresent()) {
      handshake(tls.get(), timeoutMillis);
    }
    established = true;
    if (aborted) {
      throw new SocketException("given up");
    }
  }

  private void connectTcp(int timeoutMillis) throws IOException {
    IOException last = new IOException("no address for " + host);
    for (InetAddress address : InetAddress.getAllByName(host)) {
      Socket socket = new Socket();
      raw = socket;
      top = socket;
      if (aborted) {
        throw new SocketException("given up");
      }
      try {
        socket.connect(new InetSocketAddress(address, port), timeoutMillis);
        socket.setTcpNoDelay(true);
        socket.setSoLinger(true, LINGER_SECONDS);
        return;
      } catch (IOException unreachable) {
        socket.close();
        last = unreachable;
      }
    }
    throw last;
  }

  private void handshake(SSLContext context, int timeoutMillis) throws IOException {
    SSLSocket layered =
        (SSLSocket) context.getSocketFactory().createSocket(raw, host, port, /* autoClose= */ true);
    SSLParameters parameters = layered.getSSLParameters();
    parameters.setEndpointIdentificationAlgorithm("HTTPS");
    parameters.setProtocols(PROTOCOLS);
    layered.setSSLParameters(parameters);
    raw.setSoTimeout(timeoutMillis);
    top = layered;
    layered.startHandshake();
  }

  @Override
  public InputStream getInputStream() throws IOException {
    return new Gate(top.getInputStream());
  }

  @Override
  public OutputStream getOutputStream() throws IOException {
    return new Opener(top.getOutputStream());
  }

  @Override
  public synchronized void setSoTimeout(int millis) throws SocketException {
    readTimeoutMillis = millis;
    top.setSoTimeout(millis);
  }

  @Override
  public void shutdownInput() throws IOException {
    // On the TCP socket even under TLS, where the layered socket would throw and stay open.
    raw.shutdownInput();
  }

  @Override
  public void shutdownOutput() throws IOException {
    raw.shutdownOutput();
  }

  @Override
  public boolean isConnected() {
    return top.isConnected();
  }

  @Override
  public boolean isClosed() {
    return top.isClosed();
  }

  @Override
  @SuppressWarnings("UnsynchronizedOverridesSynchronized") // it may wait for a TLS lock
  public void close() throws IOException {
    written.countDown();
    top.close();
  }

  /** Holds reading back until something was written. */
  private final class Gate extends FilterInputStream {
    Gate(InputStream in) {
      super(in);
    }

    @Override
    public int read() throws IOException {
      await();
      return in.read();
    }

    @Override
    public int read(byte[] bytes, int offset, int length) throws IOException {
      await();
      return in.read(bytes, offset, length);
    }

    @Override
    public int available() throws IOException {
      // On a connection that was reset this would throw, and tell too early.
      return written.getCount() > 0 ? 0 : in.available();
    }

    private void await() throws IOException {
      try {
        if (!written.await(readTimeoutMillis, TimeUnit.MILLISECONDS)) {
          throw new SocketTimeoutException("nothing sent yet");
        }
      } catch (InterruptedException stop) {
        Thread.currentThread().interrupt();
        throw new SocketException("interrupted");
      }
    }
  }

  /** Opens the gate with the first byte written. */
  private final class Opener extends FilterOutputStream {
    Opener(OutputStream out) {
      super(out);
    }

    @Override
    public void write(int b) throws IOException {
      try {
        out.write(b);
      } finally {
        written.countDown();
      }
    }

    @Override
    public void write(byte[] bytes, int offset, int length) throws IOException {
      try {
        out.write(bytes, offset, length);
      } finally {
        written.countDown();
      }
    }
  }
}
