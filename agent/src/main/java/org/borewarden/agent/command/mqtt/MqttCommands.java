package org.borewarden.agent.command.mqtt;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.command.CommandName;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.command.CommandText;
import org.borewarden.agent.command.RefusalPace;
import org.borewarden.agent.command.Sender;
import org.borewarden.agent.config.CommandConfig;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.agent.mqtt.InMessage;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.publish.Topics;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Takes commands from {@code command/<role>/<name>}, proves and reads them, and offers them to the
 * inbox. What is refused at the door is journalled too, and answered at once.
 *
 * <p>One thread, {@code commands}, does the work; the client's thread only puts messages into a
 * bounded queue. Whoever floods it loses his own messages, counted, and nobody waits for him.
 */
public final class MqttCommands implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(MqttCommands.class);
  private static final int QUEUE = 256;
  private static final int LONGEST_LEVEL = 64;
  private static final long CLOSE_MILLIS = 1000;

  private final Topics topics;
  private final Optional<SignedCommands> signed;
  private final CommandReader reader;
  private final EventSink sink;
  private final CommandAnswers answers;
  private final RefusalPace pace;
  private final BlockingQueue<InMessage> queue = new ArrayBlockingQueue<>(QUEUE);
  private final AtomicLong dropped = new AtomicLong();
  private final Thread thread;
  private volatile boolean stopping;

  /**
   * Where an answer goes.
   *
   * @param topic the whole topic
   * @param correlation what the asker wants back
   */
  private record ReplyTo(String topic, Optional<ByteBuffer> correlation) {}

  /**
   * A command so far.
   *
   * @param name its name as far as it could be told
   * @param proved what was proved of the sender
   * @param replyTo where the answer goes, if anywhere
   */
  private record Knock(String name, String proved, Optional<ReplyTo> replyTo) {}

  private MqttCommands(
      MqttLink link,
      Topics topics,
      Optional<SignedCommands> signed,
      CommandReader reader,
      EventSink sink,
      CommandAnswers answers,
      MonotonicClock clock) {
    this.topics = topics;
    this.signed = signed;
    this.reader = reader;
    this.sink = sink;
    this.answers = answers;
    this.pace = new RefusalPace(clock);
    this.thread = new Thread(this::run, "commands");
    this.thread.setDaemon(true);
    link.subscribe(List.of(topics.commands()), this::arrived);
  }

  /**
   * Subscribes on the link, so make it before the link is started.
   *
   * @param config whom to believe
   * @param link the control link
   * @param topics where commands come
   * @param reader reads them
   * @param sink takes them
   * @param answers answers them
   * @param clock for durations
   * @return empty where nobody is believed
   * @throws IOException when a key file cannot be read; the message says which
   */
  public static Optional<MqttCommands> of(
      CommandConfig config,
      MqttLink link,
      Topics topics,
      CommandReader reader,
      EventSink sink,
      CommandAnswers answers,
      MonotonicClock clock)
      throws IOException {
    return switch (config.trust()) {
      case NONE -> Optional.empty();
      case BROKER ->
          Optional.of(
              new MqttCommands(link, topics, Optional.empty(), reader, sink, answers, clock));
      case SIGNED -> {
        Optional<SignedCommands> keys = Optional.of(SignedCommands.load(config.keys()));
        yield Optional.of(new MqttCommands(link, topics, keys, reader, sink, answers, clock));
      }
    };
  }

  /** Starts the thread. */
  public void start() {
    thread.start();
  }

  /**
   * The messages that came faster than they could be looked at.
   *
   * @return the count since the start
   */
  public long dropped() {
    return dropped.get();
  }

  private void arrived(InMessage message) {
    if (!queue.offer(message) && dropped.getAndIncrement() == 0) {
      LOG.warn("commands come faster than they can be looked at; some are dropped");
    }
  }

  private void run() {
    while (!stopping) {
      try {
        take(queue.take());
      } catch (InterruptedException stop) {
        // Only close() interrupts, and it has set the flag that ends the loop.
      }
    }
  }

  private void take(InMessage message) {
    String[] levels = message.topic().substring(topics.of("command/").length()).split("/", -1);
    String roleKey = shortened(levels[0]);
    String nameKey = shortened(levels.length > 1 ? levels[1] : "");
    Optional<Role> role = role(roleKey);
    Optional<CommandName> name = CommandName.of(nameKey);
    Knock knock = new Knock(nameKey, "topic:" + roleKey, replyTo(message));
    if (message.retained()) {
      refuse(knock, AnswerCode.RETAINED, Optional.empty(), "a command must not be retained");
    } else if (message.responseTopic().isPresent() && knock.replyTo().isEmpty()) {
      refuse(knock, AnswerCode.MALFORMED, Optional.empty(), badReply("the response topic"));
    } else if (role.isEmpty()) {
      refuse(knock, AnswerCode.NO_RIGHT, Optional.empty(), "no role '" + roleKey + "'");
    } else if (name.isEmpty()) {
      refuse(knock, AnswerCode.MALFORMED, Optional.empty(), unknown(nameKey));
    } else {
      prove(message, role.get(), name.get(), knock);
    }
  }

  /** A topic may be long and its sender hostile; a longer name is no name of ours anyway. */
  private static String shortened(String level) {
    return level.length() <= LONGEST_LEVEL ? level : level.substring(0, LONGEST_LEVEL) + "...";
  }

  private static Optional<Role> role(String key) {
    return Arrays.stream(Role.values()).filter(role -> role.key().equals(key)).findFirst();
  }

  private static String unknown(String name) {
    return "no command '" + name + "'; known are " + CommandName.all();
  }

  private void prove(InMessage message, Role role, CommandName name, Knock knock) {
    if (signed.isEmpty()) {
      read(message.payload(), new Sender(role, knock.proved(), true), name, knock);
      return;
    }
    SignedCommands.Proof proof = signed.get().prove(message.topic(), role, message.payload());
    if (proof instanceof SignedCommands.Proof.Good good) {
      Knock proved = new Knock(knock.name(), "key:" + good.key(), knock.replyTo());
      read(good.payload(), new Sender(role, proved.proved(), true), name, proved);
    } else if (proof instanceof SignedCommands.Proof.Bad bad) {
      refuse(knock, AnswerCode.NO_RIGHT, Optional.empty(), bad.detail());
    }
  }

  private void read(ByteBuffer text, Sender sender, CommandName name, Knock knock) {
    CommandText read = reader.read(name, sender, text);
    if (read instanceof CommandText.Refused refused) {
      Knock wanted = withField(knock, refused.answerTo());
      refuse(wanted, refused.code(), refused.id(), refused.detail());
    } else if (read instanceof CommandText.Read good) {
      String id = good.command().id();
      Knock wanted = withField(knock, good.answerTo());
      if (good.answerTo().isPresent() && wanted.replyTo().isEmpty()) {
        refuse(knock, AnswerCode.MALFORMED, Optional.of(id), badReply("'answer_to'"));
        return;
      }
      wanted.replyTo().ifPresent(to -> answers.remember(id, to.topic(), to.correlation()));
      if (!sink.offer(new Event.CommandGiven(good.command()))) {
        dropped.incrementAndGet();
        tell(wanted, AnswerCode.NOT_RECORDED, Optional.of(id), "the inbox is full; try again");
      }
    }
  }

  /** The field stands in where the protocol gave no response topic. */
  private Knock withField(Knock knock, Optional<String> answerTo) {
    if (knock.replyTo().isPresent()) {
      return knock;
    }
    Optional<ReplyTo> field =
        answerTo.filter(this::mayAnswer).map(topic -> new ReplyTo(topic, Optional.empty()));
    return new Knock(knock.name(), knock.proved(), field);
  }

  private Optional<ReplyTo> replyTo(InMessage message) {
    return message
        .responseTopic()
        .filter(this::mayAnswer)
        .map(topic -> new ReplyTo(topic, message.correlation()));
  }

  /** Answers go to a place of their own, so that nobody makes the agent say things elsewhere. */
  private boolean mayAnswer(String topic) {
    return topic.startsWith(topics.answers())
        && topic.length() > topics.answers().length()
        && topic.indexOf('+') < 0
        && topic.indexOf('#') < 0
        && topic.indexOf('\0') < 0;
  }

  private String badReply(String what) {
    return what + ": expected a topic below " + topics.answers();
  }

  private void refuse(Knock knock, AnswerCode code, Optional<String> id, String detail) {
    if (pace.allows()) {
      long more = pace.unrecorded();
      String words = more == 0 ? detail : detail + " (" + more + " more refusals before it)";
      if (!sink.offer(new Event.CommandRefused(code, knock.name(), knock.proved(), id, words))) {
        dropped.incrementAndGet();
      }
    }
    tell(knock, code, id, detail);
  }

  private void tell(Knock knock, AnswerCode code, Optional<String> id, String detail) {
    knock.replyTo().ifPresent(to -> answers.refuse(id, code, detail, to.topic(), to.correlation()));
  }

  /** Stops the thread; what waits is dropped unanswered. Idempotent. */
  @Override
  public void close() {
    stopping = true;
    thread.interrupt();
    try {
      thread.join(CLOSE_MILLIS);
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }
}
