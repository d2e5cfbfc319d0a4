package org.borewarden.agent.payload;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.engine.CellReport;
import org.borewarden.rules.engine.CellTestLine;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.Captured;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;

/** An event of every kind, each with all that may be absent once there and once absent. */
final class Samples {
  static final PartContext ALL =
      new PartContext(
          OptionalLong.of(1_234_567_890_123L),
          Optional.of("A-12"),
          Optional.of("7"),
          Optional.of("2"),
          Optional.of("p4"),
          Optional.of("op-3"),
          Optional.of("lot 9"));

  private Samples() {}

  static List<Event> events() {
    List<Event> all = new ArrayList<>();
    all.add(Shift.started(7, false));
    all.add(new Event.AgentStarted("0.1.0", 65_535, "", true, List.of(), List.of()));
    all.add(new Event.AgentStopped());
    all.add(new Event.RulesLoaded(Shift.RULES));
    all.add(new Event.RulesLoaded(Shift.FEWER));
    all.add(new Event.RulesRefused(2, "rules.yaml:3:1 features: expected \"a list\""));
    readings(all);
    all.add(
        new Event.FrameRejected("bore-1", "too-long", "found \u00b5 and \"\\\"", 64, "a\\x00", 3));
    all.add(Shift.port("port-a", true));
    all.add(new Event.SourceChanged("port-c", List.of(), false, ""));
    all.add(new Event.CellReported("cell-4", report(ALL, true)));
    all.add(new Event.CellReported("cell-4", report(PartContext.NONE, false)));
    all.add(
        new Event.CellTestWalked(
            "cell-4",
            41,
            true,
            List.of(new CellTestLine("A5 bit 3", "0x0008", "0x0000", false, 512))));
    all.add(new Event.CellTestWalked("cell-4", 41, false, List.of()));
    all.add(new Event.LinkChanged("cell-4", true, "the cell's echo moves"));
    all.add(new Event.JournalChanged(false, "disk full"));
    all.add(new Event.JournalDoubted("outbox-full", true, "4100 MiB, at most 4096 MiB"));
    all.add(new Event.JournalNoted("retired", 1, 1000, 1000, "older than 90 days"));
    all.add(new Event.BeatChanged(true, 1501));
    all.add(new Event.BrokerChanged("control", false, "no answer"));
    orders().forEach(order -> all.add(new Event.CommandGiven(command(order))));
    all.add(
        new Event.CommandGiven(
            new Command(
                "id-2",
                Role.CELL,
                "modbus:cell-4",
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                new Order.EndBypass("cell-4"))));
    all.add(
        new Event.CommandRefused(AnswerCode.STALE, "release", "key-1", Optional.of("id"), "old"));
    all.add(new Event.CommandRefused(AnswerCode.NO_RIGHT, "", "topic", Optional.empty(), "no"));
    all.add(new Event.TimerFired("ack:cell-4"));
    all.add(new Event.GrantSynced("cell-4", 17));
    all.add(new Event.ClockStepped(-3_600_000));
    return all;
  }

  private static void readings(List<Event> all) {
    all.add(Shift.bore("bore-1", "62.010 mm"));
    all.add(Shift.bore("bore-1", "0.87628 in"));
    all.add(Shift.reading("bore-1", Length.ZERO, Unit.MILLIMETRE, 9));
    all.add(Shift.reading("bore-1", new Length(-25_400_000), Unit.MICROINCH, 0));
    all.add(
        new Event.ReadingTaken(
            new Reading(
                "bore-2",
                new Length(62_010_000_000L),
                Unit.MICROMETRE,
                1,
                Optional.of("2"),
                Optional.of("battery low"))));
    Reading last =
        new Reading(
            "column",
            new Length(62_011_000_000L),
            Unit.MILLIMETRE,
            4,
            Optional.empty(),
            Optional.empty());
    all.add(
        new Event.ReadingTaken(
            last.captured(new Length(62_010_123_456L), new Captured(400, new Length(700_000L)))));
  }

  static List<Order> orders() {
    return List.of(
        new Order.Release(
            "cell-4",
            3,
            14,
            "insert-changed",
            "yes",
            List.of(12L, 5_000_000_000L),
            Optional.of("measured"),
            OptionalInt.of(5)),
        new Order.Release(
            "cell-4", 0, 0, "", "unknown", List.of(), Optional.empty(), OptionalInt.empty()),
        new Order.Bypass("cell-4", 3, 14, List.of("oversize/bearing-seat"), 15, "urgent"),
        new Order.EndBypass("cell-4"),
        new Order.Heard("cell-4", 3, StopKind.NEXT_SAFE_POINT),
        new Order.Stopped("cell-4"),
        new Order.Context("cell-4", ALL),
        new Order.Context("cell-4", PartContext.NONE),
        new Order.ToolChanged("cell-4", Optional.of("7")),
        new Order.ToolChanged("cell-4", Optional.empty()),
        new Order.OffsetEntered("cell-4", Optional.of("7"), new Length(-5_000_000)),
        new Order.OffsetEntered("cell-4", Optional.empty(), Length.ZERO),
        new Order.Temperature(
            "bore-1", OptionalDouble.of(31.5), OptionalDouble.empty(), OptionalDouble.empty()),
        new Order.Temperature(
            "bore-1", OptionalDouble.empty(), OptionalDouble.of(22), OptionalDouble.of(-0.5)),
        new Order.Discard("bearing-seat", Optional.of(77L), "chip"),
        new Order.Discard("bearing-seat", Optional.empty(), "chip"),
        new Order.MeasureAgain("bearing-seat", Optional.of("entry/90")),
        new Order.MeasureAgain("bearing-seat", Optional.empty()),
        new Order.NextPart("bearing-seat"),
        new Order.Attribute("bearing-seat", Order.Attribute.Found.DOES_NOT_ENTER, "head"),
        new Order.Skip("bearing-seat", "chips"),
        new Order.Rework("bearing-seat", Optional.of(512L), "recut"),
        new Order.Rework("bearing-seat", Optional.empty(), "recut"),
        new Order.Challenge("bearing-seat", Verdict.OVERSIZE, "M-7"),
        new Order.FirstOff("cell-4", "program"),
        new Order.CorrectSerial("bearing-seat", Optional.of(512L), "A-9", "slip"),
        new Order.CorrectSerial("bearing-seat", Optional.empty(), "A-9", "slip"),
        new Order.Concession(
            "bearing-seat",
            List.of("A-7", "A-8"),
            Optional.of(new Length(61_995_000_000L)),
            Optional.of(new Length(62_035_000_000L)),
            "2026-06-30",
            "QN-118",
            "agreed"),
        new Order.Concession(
            "bearing-seat",
            List.of("A-7"),
            Optional.empty(),
            Optional.empty(),
            "2026-06-30",
            "QN-118",
            "agreed"),
        new Order.HandOver("cell-4", Optional.of("kim")),
        new Order.HandOver("cell-4", Optional.empty()),
        new Order.RingCheck("bore-1", Optional.of("R62")),
        new Order.RingCheck("bore-1", Optional.empty()),
        new Order.Mastered("bore-1", Optional.of("R62")),
        new Order.Mastered("bore-1", Optional.empty()),
        new Order.GaugeDisturbed("bore-1", "dropped"),
        new Order.StepBack("bore-1", "chips"),
        new Order.StepForward("bore-1", "chips"),
        new Order.Ask("bore-1"),
        new Order.CloseBatch("cell-4", "order-complete"),
        new Order.WithdrawConcession("bearing-seat", "A-7", "changed"),
        new Order.Acknowledge("oversize/bearing-seat"),
        new Order.Shelve("oversize/bearing-seat", 60, "known"),
        new Order.Unshelve("oversize/bearing-seat"),
        new Order.OutOfService("source-lost/cell-4/port-a", "cable broken"),
        new Order.BackInService("source-lost/cell-4/port-a"),
        new Order.Confirm("cell-4", 3, 14, "id-1"),
        new Order.CellTest("cell-4"),
        new Order.SendAgain(17, 1_000_000_000_000L),
        new Order.AdoptJournal("restored"),
        new Order.Reload(),
        new Order.AskHold("cell-4", "upgrade"));
  }

  private static Command command(Order order) {
    return new Command(
        "id-1",
        Role.SUPERVISOR,
        "key-1",
        Optional.of("p-17"),
        Optional.of(Instant.parse("2026-05-04T08:00:00.120Z")),
        Optional.of("0123456789abcdef"),
        Optional.of("words, \"quoted\""),
        order);
  }

  private static CellReport report(PartContext context, boolean all) {
    return new CellReport(
        all,
        !all,
        all,
        !all,
        all,
        !all,
        all,
        !all,
        all,
        all ? 3 : 0,
        all ? Optional.of(StopKind.END_OF_PART) : Optional.empty(),
        all ? OptionalInt.of(9) : OptionalInt.empty(),
        all ? Optional.of(4_294_967_295L) : Optional.empty(),
        4,
        context);
  }
}
