package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.cfg.JsonNodeFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Predicate;
import org.borewarden.agent.payload.PayloadSchemas;
import org.borewarden.agent.peers.Peers;

/** Somebody else on the broker with a durable session: mosquitto_sub, whose lines are kept. */
final class Listener implements AutoCloseable {
  // Sizes keep their digits: 62.010 mm is not 62.01 mm.
  private static final ObjectMapper JSON =
      JsonMapper.builder()
          .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
          .disable(JsonNodeFeature.STRIP_TRAILING_BIGDECIMAL_ZEROES)
          .build();

  private final Process process;
  private final List<Heard> heard = new CopyOnWriteArrayList<>();

  /**
   * A message.
   *
   * @param retained whether the broker had kept it
   * @param topic below the root
   * @param text the payload, byte for byte
   * @param json the payload
   */
  record Heard(boolean retained, String topic, String text, JsonNode json) {
    String at(String pointer) {
      return json.at(pointer).asText();
    }
  }

  private Listener(Process process) {
    this.process = process;
  }

  /** Hears all below a root; returns when the broker has the subscription. */
  static Listener to(int port, String root) throws IOException, InterruptedException {
    String probe = "probe/" + UUID.randomUUID();
    Client.run(
        "mosquitto_pub", "-p", "" + port, "-q", "1", "-r", "-t", probe, "-m", "\"subscribed\"");
    Process process =
        new ProcessBuilder(
                Peers.require("mosquitto_sub").toString(),
                "-p",
                Integer.toString(port),
                "-V",
                "311",
                "-q",
                "1",
                "-c",
                "-i",
                "listener-" + UUID.randomUUID(),
                "-t",
                root + "/#",
                "-t",
                probe,
                "-F",
                "%r %t %p")
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    Listener listener = new Listener(process);
    Lines.follow(
        "listener", process.getInputStream(), line -> listener.said(line, root + "/", probe));
    // Both filters go in one packet, so what the broker kept proves the other one too.
    listener.await(probe, message -> true);
    return listener;
  }

  private void said(String line, String root, String probe) {
    String[] words = line.split(" ", 3);
    String topic = words[1].equals(probe) ? probe : words[1].substring(root.length());
    heard.add(new Heard(words[0].equals("1"), topic, words[2], json(words[2])));
  }

  /** What the published schemas have against what came, one line each. */
  List<String> unlikeTheirSchema() {
    List<String> all = new ArrayList<>();
    for (Heard message : heard) {
      String topic = message.topic();
      boolean ours = !message.text().isEmpty() && !topic.startsWith("probe/");
      // A command is whatever somebody sends; the canary is for the agent itself.
      if (ours && !topic.startsWith("command/") && !topic.equals("agent/canary")) {
        PayloadSchemas.problems(PayloadSchemas.ofTopic(topic, message.text()), message.text())
            .forEach(problem -> all.add(topic + ": " + problem + " in " + message.text()));
      }
    }
    return all;
  }

  static JsonNode json(String text) {
    try {
      return JSON.readTree(text);
    } catch (JsonProcessingException notJson) {
      throw new AssertionError("not JSON: " + text, notJson);
    }
  }

  /** All messages of a topic, in the order of arrival. */
  List<Heard> on(String topic) {
    return heard.stream().filter(message -> message.topic().equals(topic)).toList();
  }

  /** The newest message of a topic. */
  Optional<Heard> latest(String topic) {
    List<Heard> all = on(topic);
    return all.isEmpty() ? Optional.empty() : Optional.of(all.get(all.size() - 1));
  }

  /** Waits until the newest message of a topic is such. */
  Heard await(String topic, Predicate<Heard> condition) {
    return Waiting.first("such a message on " + topic, () -> latest(topic).filter(condition));
  }

  /** The records of a topic, each once however often it came. */
  List<Heard> records(String topic) {
    return records().stream().filter(message -> message.topic().equals(topic)).toList();
  }

  /** Waits for so many records of a topic. */
  List<Heard> awaitRecords(String topic, int count) {
    Waiting.until(count + " records on " + topic, () -> records(topic).size() >= count);
    return records(topic);
  }

  /** The records of all topics in order of their first arrival, each once. */
  private List<Heard> records() {
    Map<String, Heard> once = new LinkedHashMap<>();
    for (Heard message : heard) {
      if (message.json().has("prev")) {
        once.putIfAbsent(message.at("/journal") + "/" + message.at("/seq"), message);
      }
    }
    return new ArrayList<>(once.values());
  }

  /** Nothing was lost or came out of order: each record names the one before it on its topic. */
  void assertGapFree() {
    Map<String, Long> last = new HashMap<>();
    long before = 0;
    for (Heard message : records()) {
      long seq = message.json().at("/seq").asLong();
      assertThat(seq).as(message.text()).isGreaterThan(before);
      assertThat(message.json().at("/prev").asLong())
          .as(message.text())
          .isEqualTo(last.getOrDefault(message.topic(), 0L));
      last.put(message.topic(), seq);
      before = seq;
    }
    assertThat(last).isNotEmpty();
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}
