package org.borewarden.agent.command.local;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Phase;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class LocalCommandsTest {
  private static final String ID = "0195570a-7c00-7abc-8def-0123456789ab";
  private static final String TOOL_CHANGED =
      "{\"command\":\"tool-changed\",\"id\":\"" + ID + "\",\"cell\":\"cell-4\",\"tool\":\"T12\"}";

  @TempDir private Path folder;

  @Test
  void aCommandBecomesAnEventAndItsAnswerComesBackOnItsConnection() throws Exception {
    try (Shop shop = Shop.ofSetter(folder)) {
      List<String> answers = new ArrayList<>();
      Thread person = new Thread(() -> answers.add(asked(shop, TOOL_CHANGED)));
      person.start();
      await().atMost(Shop.SOON).until(() -> shop.events.size() == 1);
      Command command = ((Event.CommandGiven) shop.events.get(0)).command();
      assertThat(command.role()).isEqualTo(Role.SETTER);
      assertThat(command.authenticatedAs()).isEqualTo("local:" + Shop.ME);
      assertThat(command.order()).isEqualTo(new Order.ToolChanged("cell-4", Optional.of("T12")));
      shop.commands.answer(answered("another id"), 511, Optional.empty());
      shop.commands.answer(answered(ID), 512, Optional.of(Phase.NOT_READY));
      person.join(Shop.SOON.toMillis());
      assertThat(answers)
          .containsExactly(
              "{\"id\":\""
                  + ID
                  + "\",\"code\":\"accepted\",\"text_key\":\"answer.accepted\",\"detail\":\"\","
                  + "\"cell\":\"cell-4\",\"state\":\"not-ready\",\"hold\":3,\"revision\":9,"
                  + "\"seq\":512}");
    }
  }

  @Test
  void thePrimaryGroupOfThePeerGivesARoleToo() throws Exception {
    Path mine = Files.createFile(folder.resolve("mine"));
    String group = Files.readAttributes(mine, PosixFileAttributes.class).group().getName();
    try (Shop shop = new Shop(folder, Map.of(group, "it"))) {
      assertThat(shop.ask(TOOL_CHANGED)).contains("\"code\":\"no-right\"", "the role it may not");
      assertThat(shop.ask("{\"query\":\"hold\",\"cell\":\"cell-4\"}"))
          .isEqualTo("{\"cell\":\"cell-4\"}");
    }
  }

  @Test
  void whoHasSeveralRolesActsInTheFirstThatMay() throws Exception {
    Map<String, String> roles = Map.of("staff", "inspector", "leads", "supervisor");
    try (Shop shop = new Shop(folder, roles, "staff", "leads");
        LocalClient client = LocalClient.connect(shop.socket)) {
      Thread person = new Thread(() -> asked(client, TOOL_CHANGED));
      person.start();
      await().atMost(Shop.SOON).until(() -> shop.events.size() == 1);
      assertThat(((Event.CommandGiven) shop.events.get(0)).command().role())
          .isEqualTo(Role.SUPERVISOR);
      shop.commands.answer(answered(ID), 1, Optional.empty());
      person.join(Shop.SOON.toMillis());
    }
  }

  @Test
  void whoHasNoRoleIsToldSoOnRecordAndHearsNothingMore() throws Exception {
    try (Shop shop = new Shop(folder, Map.of("shop-setters", "setter"), "others")) {
      assertThat(shop.ask("{\"query\":\"holds\"}"))
          .contains("\"code\":\"no-right\"", "no group of the user '" + Shop.ME + "' has a role");
      assertThat(shop.events).hasSize(1);
      Event.CommandRefused refused = (Event.CommandRefused) shop.events.get(0);
      assertThat(refused.code()).isEqualTo(AnswerCode.NO_RIGHT);
      assertThat(refused.authenticatedAs()).isEqualTo("local:" + Shop.ME);
    }
  }

  @Test
  void questionsAreAnsweredAndRecordNothing() throws Exception {
    try (Shop shop = Shop.ofSetter(folder)) {
      assertThat(shop.ask("{\"query\":\"holds\"}"))
          .isEqualTo("{\"holds\":[{\"cell\":\"cell-4\"},{\"cell\":\"cell-5\"}]}");
      assertThat(shop.ask("{\"query\":\"hold\",\"cell\":\"cell-9\"}"))
          .contains("\"code\":\"malformed\"", "no such cell: cell-9");
      assertThat(shop.events).isEmpty();
    }
  }

  @Test
  void aReleaseMustQuoteTheChallengeHereToo() throws Exception {
    try (Shop shop = Shop.ofSetter(folder)) {
      String release =
          "{\"command\":\"release\",\"id\":\""
              + ID
              + "\",\"cell\":\"cell-4\",\"hold\":3,\"revision\":9,\"who\":\"m-alvarez\","
              + "\"reason\":\"tool-changed\",\"needed\":\"yes\",\"evidence\":[512]}";
      assertThat(shop.ask(release)).contains("\"code\":\"malformed\"", "missing field 'challenge'");
      assertThat(shop.events).hasSize(1).allMatch(Event.CommandRefused.class::isInstance);
    }
  }

  @Test
  void aLineOverTheLimitIsRefusedAndItsConnectionEnds() throws Exception {
    try (Shop shop = Shop.ofSetter(folder);
        LocalClient client = LocalClient.connect(shop.socket)) {
      assertThat(client.ask("x".repeat(4200), Shop.SOON))
          .contains("\"code\":\"over-limit\"", "the line is longer than 4096 bytes");
      assertThatThrownBy(() -> client.ask("{}", Shop.SOON)).isInstanceOf(IOException.class);
      assertThat(shop.events).hasSize(1);
    }
  }

  @Test
  void garbageByTheThousandChangesNothingAndIsRecorded() throws Exception {
    Random random = new Random(20_260_302);
    try (Shop shop = Shop.ofSetter(folder);
        LocalClient client = LocalClient.connect(shop.socket)) {
      for (int round = 0; round < 2000; round++) {
        // So slow that each refusal is recorded.
        shop.nanos.addAndGet(TimeUnit.MILLISECONDS.toNanos(200));
        assertThat(client.ask(garbage(random), Shop.SOON))
            .containsAnyOf("\"code\":\"malformed\"", "\"code\":\"over-limit\"");
      }
      assertThat(shop.events).hasSize(2000).allMatch(Event.CommandRefused.class::isInstance);
    }
  }

  @Test
  void aFloodOfRefusalsIsCountedInsteadOfRecorded() throws Exception {
    try (Shop shop = Shop.ofSetter(folder);
        LocalClient client = LocalClient.connect(shop.socket)) {
      for (int round = 0; round < 200; round++) {
        assertThat(client.ask("{}", Shop.SOON)).contains("\"code\":\"malformed\"");
      }
      assertThat(shop.events).hasSize(50);
      shop.nanos.addAndGet(TimeUnit.SECONDS.toNanos(1));
      assertThat(client.ask("{}", Shop.SOON)).contains("\"code\":\"malformed\"");
      assertThat(((Event.CommandRefused) shop.events.get(50)).detail())
          .endsWith("(150 more refusals before it)");
    }
  }

  @Test
  void aFullInboxIsAnsweredWithNotRecorded() throws Exception {
    try (Shop shop = Shop.ofSetter(folder)) {
      shop.full = true;
      assertThat(shop.ask(TOOL_CHANGED)).contains("\"code\":\"not-recorded\"");
    }
  }

  @Test
  void aNinthConnectionIsTurnedAwayAndTheFirstStillServed() throws Exception {
    try (Shop shop = Shop.ofSetter(folder)) {
      List<LocalClient> clients = new ArrayList<>();
      for (int i = 0; i < LocalCommands.MOST_CONNECTIONS; i++) {
        LocalClient client = LocalClient.connect(shop.socket);
        clients.add(client);
        client.ask("{\"query\":\"holds\"}", Shop.SOON);
      }
      assertThat(shop.ask("{\"query\":\"holds\"}")).contains("\"code\":\"over-limit\"");
      assertThat(clients.get(0).ask("{\"query\":\"holds\"}", Shop.SOON)).contains("cell-4");
      for (LocalClient client : clients) {
        client.close();
      }
      await()
          .atMost(Shop.SOON)
          .until(() -> asked(shop, "{\"query\":\"holds\"}").contains("cell-4"));
    }
  }

  @Test
  void aSilentConnectionIsClosed() throws Exception {
    try (Shop shop = Shop.ofSetter(folder);
        LocalClient client = LocalClient.connect(shop.socket)) {
      client.ask("{\"query\":\"holds\"}", Shop.SOON);
      // Each question is a sign of life: between two, the silence gets longer than is allowed.
      await()
          .atMost(Shop.SOON)
          .pollInterval(Duration.ofSeconds(1))
          .until(
              () -> {
                boolean closed = asked(client, "{\"query\":\"holds\"}").startsWith("failed");
                shop.nanos.addAndGet(LocalCommands.IDLE_NANOS + 1);
                return closed;
              });
    }
  }

  @Test
  void theSocketIsForItsGroupOnlyAndGoesWithTheAgent() throws Exception {
    Path socket;
    try (Shop shop = Shop.ofSetter(folder)) {
      socket = shop.socket;
      assertThat(Files.getPosixFilePermissions(socket).toString()).doesNotContain("OTHERS");
      assertThat(Files.getPosixFilePermissions(socket.getParent()).toString())
          .contains("GROUP_WRITE")
          .doesNotContain("OTHERS");
    }
    assertThat(socket).doesNotExist();
  }

  @Test
  void anotherAgentsSocketIsLeftAlone() throws Exception {
    try (Shop shop = Shop.ofSetter(folder)) {
      assertThatThrownBy(() -> Shop.ofSetter(folder))
          .hasMessage("commands.socket: another agent answers at " + shop.socket);
      assertThat(shop.ask("{\"query\":\"holds\"}")).contains("cell-4");
    }
  }

  @Test
  void aDeadAgentsSocketIsTakenOver() throws Exception {
    Path socket = folder.resolve("run/commands.socket");
    // Closing a server socket leaves its file, as a killed process does.
    SocketPlace.open(socket).close();
    assertThat(socket).exists();
    try (Shop shop = Shop.ofSetter(folder)) {
      assertThat(shop.ask("{\"query\":\"holds\"}")).contains("cell-4");
    }
  }

  @Test
  void aFileThatIsNoSocketIsNotRemoved() throws Exception {
    Path run = Files.createDirectories(folder.resolve("run"));
    Path file = Files.writeString(run.resolve("commands.socket"), "x", StandardCharsets.UTF_8);
    assertThatThrownBy(() -> Shop.ofSetter(folder))
        .hasMessage("commands.socket: expected a socket or nothing, found " + file);
    assertThat(file).hasContent("x");
  }

  @Test
  void aFolderThatEverybodyMayWriteIsRefused() throws Exception {
    Path run = Files.createDirectories(folder.resolve("run"));
    Files.setPosixFilePermissions(
        run, java.nio.file.attribute.PosixFilePermissions.fromString("rwxrwxrwx"));
    assertThatThrownBy(() -> Shop.ofSetter(folder))
        .hasMessage(
            "commands.socket: expected a folder that not everybody may write, found " + run);
  }

  private static Decision.CommandAnswered answered(String id) {
    return new Decision.CommandAnswered(id, AnswerCode.ACCEPTED, Optional.of("cell-4"), 3, 9, "");
  }

  private static String asked(Shop shop, String line) {
    try {
      return shop.ask(line);
    } catch (IOException e) {
      return "failed: " + e.getMessage();
    }
  }

  private static String asked(LocalClient client, String line) {
    try {
      return client.ask(line, Shop.SOON);
    } catch (IOException e) {
      return "failed: " + e.getMessage();
    }
  }

  /** Lines without a line end in them: noise, torn and bent commands. */
  private static String garbage(Random random) {
    return switch (random.nextInt(4)) {
      case 0 -> noise(random, 1 + random.nextInt(300));
      case 1 -> TOOL_CHANGED.substring(0, random.nextInt(TOOL_CHANGED.length()));
      case 2 -> TOOL_CHANGED.replace("tool-changed", noise(random, 8));
      default -> TOOL_CHANGED.replace("\"cell\"", "\"" + (char) ('a' + random.nextInt(26)) + "\"");
    };
  }

  private static String noise(Random random, int length) {
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < length; i++) {
      char c = (char) random.nextInt(0x2000);
      text.append(c == '\n' ? ' ' : c);
    }
    return text.toString();
  }
}
