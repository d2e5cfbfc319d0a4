package org.borewarden.agent.peers;

import static org.awaitility.Awaitility.await;

import java.io.Closeable;
import java.io.FileInputStream;
import java.io.FileOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;

/**
 * A serial cable made of two pseudo terminals that socat joins: the agent opens one end, the test
 * writes what a gauge sends at the other. It can be pulled and plugged again under the same names.
 */
public final class PtyPair implements AutoCloseable {
  private static final Duration LIMIT = Duration.ofSeconds(20);

  private final Path socat;
  private final Path agentEnd;
  private final Path gaugeEnd;
  private final List<Closeable> held = new ArrayList<>();
  private Process process;
  private FileOutputStream gauge;

  private PtyPair(Path socat, Path folder) throws IOException {
    this.socat = socat;
    this.agentEnd = folder.resolve("agent-end");
    this.gaugeEnd = folder.resolve("gauge-end");
    this.process = started();
    this.gauge = connected();
  }

  /** A cable that is plugged in. */
  public static PtyPair plugged(Path folder) throws IOException {
    return new PtyPair(Peers.require("socat"), folder);
  }

  /** The device that the agent opens; absent while unplugged. */
  public Path agentEnd() {
    return agentEnd;
  }

  /** The gauge sends, one byte a character. */
  public void send(String bytes) throws IOException {
    gauge.write(bytes.getBytes(StandardCharsets.ISO_8859_1));
    gauge.flush();
  }

  /** Pulls the plug; both device names are gone afterwards. */
  public void unplug() throws IOException {
    process.destroyForcibly();
    await().atMost(LIMIT).until(() -> !process.isAlive());
    for (Closeable end : held) {
      end.close();
    }
    held.clear();
    Files.deleteIfExists(agentEnd);
    Files.deleteIfExists(gaugeEnd);
  }

  /** Plugs in again, under the same names. */
  public void plug() throws IOException {
    process = started();
    gauge = connected();
  }

  @Override
  public void close() throws IOException {
    unplug();
  }

  private Process started() throws IOException {
    return new ProcessBuilder(
            socat.toString(), "pty,raw,echo=0,link=" + gaugeEnd, "pty,raw,echo=0,link=" + agentEnd)
        .redirectErrorStream(true)
        .redirectOutput(ProcessBuilder.Redirect.DISCARD)
        .start();
  }

  /** socat ends when nobody holds an end, so both are held while the cable is plugged in. */
  private FileOutputStream connected() throws IOException {
    await().atMost(LIMIT).until(() -> Files.exists(gaugeEnd) && Files.exists(agentEnd));
    held.add(new FileInputStream(agentEnd.toFile()));
    FileOutputStream writer = new FileOutputStream(gaugeEnd.toFile());
    held.add(writer);
    return writer;
  }
}
