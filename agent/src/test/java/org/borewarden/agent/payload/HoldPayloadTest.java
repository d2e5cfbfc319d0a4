package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.payload.Quoted.quoted;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.hold.AlertState;
import org.borewarden.rules.hold.AlertView;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.Test;

/** What is published of a hold and an alert, to the last digit. */
class HoldPayloadTest {
  private static final Instant AT = Instant.parse("2026-05-04T08:00:00Z");

  @Test
  void aHoldSaysThatItCountsWithTheHeartbeatOnlyAndWhetherItIsRecorded() {
    HoldView held =
        new HoldView(
            "cell-4",
            Phase.REQUESTED,
            false,
            Optional.of(StopKind.NEXT_SAFE_POINT),
            3,
            14,
            List.of(
                new Cause(
                    "forecast/bearing-seat/wear",
                    Reason.FORECAST,
                    Optional.of("bearing-seat"),
                    StopKind.END_OF_PART,
                    1207,
                    2),
                new Cause(
                    "unclean-stop",
                    Reason.UNCLEAN_STOP,
                    Optional.empty(),
                    StopKind.NEXT_SAFE_POINT,
                    9,
                    1)),
            List.of(
                new Condition(Reason.LINK, Optional.empty()),
                new Condition(Reason.SOURCE_LOST, Optional.of("port-a"))),
            false,
            false,
            0,
            Optional.empty(),
            List.of("A-7", "8"),
            AT,
            "agent",
            false,
            "0123456789abcdef");
    String rest =
        "'cell':'cell-4','state':'requested','permit':false,'kind':'next-safe-point','hold':3,"
            + "'revision':14,'causes':[{'cause':'forecast/bearing-seat/wear','reason':'forecast',"
            + "'reason_number':4,'feature':'bearing-seat','kind':'end-of-part','seq':1207,"
            + "'count':2},{'cause':'unclean-stop','reason':'unclean-stop','reason_number':6,"
            + "'kind':'next-safe-point','seq':9,'count':1}],'conditions':[{'condition':'link',"
            + "'reason_number':21},{'condition':'source-lost','reason_number':25,"
            + "'subject':'port-a'}],'heard':false,'stopped':false,'trial_parts_left':0,"
            + "'contain':['A-7','8'],'since':'2026-05-04T08:00:00.000Z','by':'agent',"
            + "'watch_only':false,'challenge':'0123456789abcdef'}";
    assertThat(quoted(StatePayloads.hold("nw-1", 4711, held, OptionalLong.empty())))
        .isEqualTo("{'agent':'nw-1','valid_with':'heartbeat','boot':4711,'recorded':false," + rest);
    assertThat(quoted(StatePayloads.hold("nw-1", 4711, held, OptionalLong.of(1210))))
        .isEqualTo(
            "{'agent':'nw-1','valid_with':'heartbeat','boot':4711,'recorded':true,'seq':1210,"
                + rest);
    assertThat(quoted(DecisionCodec.encode(new Decision.HoldChanged(held, Optional.of(14))).body()))
        .isEqualTo("{" + rest);
  }

  @Test
  void aBypassSaysWhenItEnds() {
    HoldView view =
        new HoldView(
            "cell-4",
            Phase.BYPASSED,
            true,
            Optional.empty(),
            3,
            14,
            List.of(),
            List.of(),
            false,
            false,
            0,
            Optional.of(AT.plusSeconds(900)),
            List.of(),
            AT,
            "p-17",
            true,
            "c");
    assertThat(quoted(StatePayloads.hold("nw-1", 1, view, OptionalLong.empty())))
        .contains("'permit':true,'hold':3", "'bypass_until':'2026-05-04T08:15:00.000Z'");
  }

  @Test
  void anAlertsTopicIsOneLevelThoughItsKeyHasSlashes() {
    AlertView alert =
        new AlertView(
            "forecast/bearing-seat/wear",
            AlertState.ACTIVE_UNACKNOWLEDGED,
            Reason.FORECAST,
            Optional.of("bearing-seat"),
            Optional.of("cell-4"),
            2,
            AT,
            "agent",
            Optional.empty(),
            Optional.empty(),
            OptionalInt.of(9),
            false,
            false,
            "9 parts until a bore may be undersize");
    Coded coded = DecisionCodec.encode(new Decision.AlertChanged(alert));
    assertThat(coded.topic()).contains("alert/forecast.bearing-seat.wear");
    assertThat(quoted(coded.body()))
        .isEqualTo(
            "{'alert':'forecast.bearing-seat.wear','state':'active-unacknowledged',"
                + "'reason':'forecast','reason_number':4,'feature':'bearing-seat','cell':'cell-4',"
                + "'count':2,'since':'2026-05-04T08:00:00.000Z','by':'agent','parts_left':9,"
                + "'holds':false,'would_have_held':false,"
                + "'words':'9 parts until a bore may be undersize'}");
  }
}
