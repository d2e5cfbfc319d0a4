package org.borewarden.agent.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.Stream;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.Test;

class RightsTest {
  private static final Map<String, Order> ORDERS =
      Map.ofEntries(
          Map.entry("context", new Order.Context("c", PartContext.NONE)),
          Map.entry("tool-changed", new Order.ToolChanged("c", Optional.empty())),
          Map.entry("offset", new Order.OffsetEntered("c", Optional.empty(), Length.ZERO)),
          Map.entry(
              "temperature",
              new Order.Temperature(
                  "g", OptionalDouble.of(20), OptionalDouble.empty(), OptionalDouble.empty())),
          Map.entry("discard the last", new Order.Discard("f", Optional.empty(), "slip")),
          Map.entry("discard by number", new Order.Discard("f", Optional.of(7L), "slip")),
          Map.entry("heard", new Order.Heard("c", 1, StopKind.END_OF_PART)),
          Map.entry("stopped", new Order.Stopped("c")),
          Map.entry("measure-again", new Order.MeasureAgain("f", Optional.empty())),
          Map.entry("next-part", new Order.NextPart("f")),
          Map.entry("attribute", new Order.Attribute("f", Order.Attribute.Found.GO, "plug")),
          Map.entry("step-back", new Order.StepBack("bore-1", "chips")),
          Map.entry("step-forward", new Order.StepForward("bore-1", "chips")),
          Map.entry("ask", new Order.Ask("bore-1")),
          Map.entry("close-batch", new Order.CloseBatch("cell-4", "order-complete")),
          Map.entry(
              "withdraw-concession",
              new Order.WithdrawConcession("bearing-seat", "A-7", "changed")),
          Map.entry("skip", new Order.Skip("f", "chips")),
          Map.entry("rework", new Order.Rework("f", Optional.empty(), "recut")),
          Map.entry("challenge", new Order.Challenge("f", Verdict.OVERSIZE, "M-7")),
          Map.entry("first-off", new Order.FirstOff("c", "program")),
          Map.entry("correct-serial", new Order.CorrectSerial("f", Optional.of(7L), "A9", "slip")),
          Map.entry(
              "concession",
              new Order.Concession(
                  "f",
                  List.of("A7"),
                  Optional.empty(),
                  Optional.of(Length.ZERO),
                  "2026-06-30",
                  "QN-118",
                  "r")),
          Map.entry("hand-over", new Order.HandOver("c", Optional.of("kim"))),
          Map.entry("ring-check", new Order.RingCheck("g", Optional.empty())),
          Map.entry("mastered", new Order.Mastered("g", Optional.empty())),
          Map.entry("gauge-disturbed", new Order.GaugeDisturbed("g", "dropped")),
          Map.entry("acknowledge", new Order.Acknowledge("a")),
          Map.entry("shelve", new Order.Shelve("a", 10, "r")),
          Map.entry("unshelve", new Order.Unshelve("a")),
          Map.entry("out-of-service", new Order.OutOfService("a", "r")),
          Map.entry("back-in-service", new Order.BackInService("a")),
          Map.entry("confirm", new Order.Confirm("c", 1, 1, "id")),
          Map.entry("release with evidence", release(List.of(4L), OptionalInt.empty())),
          Map.entry("release with a trial", release(List.of(), OptionalInt.of(3))),
          Map.entry("release without evidence", release(List.of(), OptionalInt.empty())),
          Map.entry("bypass", new Order.Bypass("c", 1, 1, List.of("k"), 15, "r")),
          Map.entry("end-bypass", new Order.EndBypass("c")),
          Map.entry("cell-test", new Order.CellTest("c")),
          Map.entry("send-again", new Order.SendAgain(1, 2)),
          Map.entry("adopt-journal", new Order.AdoptJournal("restored")),
          Map.entry("reload", new Order.Reload()),
          Map.entry("ask-hold", new Order.AskHold("c", "upgrade")));

  @Test
  void theCodeSaysWhatTheReviewedTableSays() throws Exception {
    List<String> fromCode = new ArrayList<>();
    List<String> fromTable = new ArrayList<>();
    List<String> columns = columns(table().get(0));
    assertThat(columns).containsExactlyElementsOf(Stream.of(Role.values()).map(Role::key).toList());
    for (String line : table().subList(1, table().size())) {
      String[] cells = line.split("\\|", -1);
      String name = cells[0].strip();
      Order order = Objects.requireNonNull(ORDERS.get(name), name);
      for (Role role : Role.values()) {
        String cell = cells[1 + columns.indexOf(role.key())].strip();
        assertThat(cell).isIn("yes", ".");
        fromTable.add(name + " / " + role.key() + ": " + cell.equals("yes"));
        fromCode.add(name + " / " + role.key() + ": " + Rights.allows(role, order));
      }
    }
    assertThat(fromCode).isEqualTo(fromTable);
    assertThat(table()).hasSize(1 + ORDERS.size());
  }

  @Test
  void onlyQualityMayAskForWhatASecondPersonConfirms() {
    ORDERS.forEach(
        (name, order) -> {
          boolean gives = name.startsWith("release") || name.equals("bypass");
          for (Role role : Role.values()) {
            assertThat(Rights.allowsWithSecond(role, order))
                .as("%s / %s", name, role.key())
                .isEqualTo(gives && role == Role.QUALITY);
          }
        });
  }

  private static List<String> columns(String header) {
    return Stream.of(header.split("\\|", -1)).skip(1).map(String::strip).toList();
  }

  private static List<String> table() throws IOException {
    try (InputStream in =
        Objects.requireNonNull(RightsTest.class.getResourceAsStream("rights.txt"))) {
      String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      Stream<String> lines = text.lines();
      return lines.filter(line -> !line.startsWith("#")).toList();
    }
  }

  private static Order release(List<Long> evidence, OptionalInt trial) {
    return new Order.Release("c", 1, 1, "r", "yes", evidence, Optional.empty(), trial);
  }
}
