package org.borewarden.rules.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.borewarden.rules.hold.Evidence;
import org.junit.jupiter.api.Test;

class MeasuringTest {
  private static final long SEED = 18;

  /** Scenario S18: release needs 3 good; only bores in a row that are proven within count. */
  @Test
  void theEvidenceOfS18IsThereAfterTheFifthBore() {
    Evidence evidence = Evidence.of(3);
    List<Boolean> complete = new ArrayList<>();
    for (String verdict : List.of("within", "undecided-high", "within", "within", "within")) {
      evidence = evidence.bore(verdict.equals("within"));
      complete.add(evidence.complete());
    }
    assertThat(complete).containsExactly(false, false, false, false, true);
  }

  @Test
  void moreThanOneInTwentyConfirmedBackInIsAFinding() {
    Shop shop = shop("confirm");
    List<String> said = new ArrayList<>();
    for (int bore = 1; bore <= 60; bore++) {
      boolean doubted = bore == 5 || bore == 18 || bore == 30;
      for (String value : doubted ? List.of("50.027", "50.024", "50.024") : List.of("50.012")) {
        for (String line : shop.take("bore-2 " + value)) {
          if (line.contains("confirmed-in/bush ")) {
            said.add(bore + line.replaceFirst("^[0-9]+ alert confirmed-in/bush", ""));
          }
        }
      }
    }
    // Two of 18 count only from 20 bores on, and the 30th is the next one that is confirmed back
    // in (3 of 30); 3 of 60 are no more than one in twenty.
    assertThat(said).containsExactly("30 active-unacknowledged", "60 returned-unacknowledged");
  }

  /** A state is a value: from any point on, the same lines give the same decisions. */
  @Test
  void aStateThatIsKeptAtAnyPointHasTheSameFuture() {
    Random random = new Random(SEED);
    List<String> lines = lines(random, 120);
    for (int point = 0; point < lines.size(); point += 7) {
      Shop one = shop("plan=1x2,confirm,ring=20");
      Shop other = shop("plan=1x2,confirm,ring=20");
      List<String> first = new ArrayList<>();
      List<String> second = new ArrayList<>();
      for (int i = 0; i < lines.size(); i++) {
        first.addAll(one.take(lines.get(i)));
        if (i == point) {
          other.takeStateOf(one);
          second.clear();
          second.addAll(first);
        } else {
          second.addAll(i < point ? List.of() : other.take(lines.get(i)));
        }
      }
      assertThat(second).as("seed %s, point %s", SEED, point).isEqualTo(first);
      assertThat(other.state()).isEqualTo(one.state());
    }
  }

  /** Lengths are exact: whether a gauge shows mm or um changes no verdict, hold or window. */
  @Test
  void theUnitThatAGaugeShowsChangesNothing() {
    Random random = new Random(SEED);
    List<String> lines = lines(random, 600);
    Shop metre = shop("plan=1x2,confirm,ring=20");
    Shop micro = shop("plan=1x2,confirm,ring=20");
    int judged = 0;
    for (String line : lines) {
      List<String> one = metre.take(line);
      List<String> other = micro.take(line.startsWith("bore-2") ? line + "um" : line);
      assertThat(other.stream().map(MeasuringTest::withoutSize).toList())
          .as("seed %s, %s", SEED, line)
          .isEqualTo(one.stream().map(MeasuringTest::withoutSize).toList());
      judged += one.stream().anyMatch(l -> l.contains("bush part")) ? 1 : 0;
    }
    assertThat(judged).as("seed %s", SEED).isGreaterThan(100);
  }

  private static String withoutSize(String line) {
    return line.replaceFirst("(bush part [0-9]+) [0-9.]+", "$1");
  }

  private static Shop shop(String words) {
    Shop shop = new Shop();
    List.of("started clean", "rules r1 bush,nominal=50," + words, "port port-b open", "synced")
        .forEach(shop::take);
    return shop;
  }

  private static List<String> lines(Random random, int count) {
    List<String> lines = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      int draw = random.nextInt(20);
      if (draw == 0) {
        lines.add("ring-check r" + i + " bore-2");
        for (int n = 0; n < 3; n++) {
          lines.add("bore-2 " + size(40.0022 + (random.nextInt(3) == 0 ? 0.005 : 0)));
        }
      } else if (draw == 1) {
        lines.add("release c" + i + " as=supervisor");
        lines.add("synced");
      } else if (draw == 2) {
        lines.add(random.nextBoolean() ? "next-part n" + i + " bush" : "discard d" + i + " bush");
      } else if (draw == 3) {
        lines.add(random.nextBoolean() ? "measure-again m" + i + " bush" : "timer measure:bush");
      } else {
        double out = random.nextInt(8) == 0 ? 0.016 : 0;
        lines.add("bore-2 " + size(50.012 + out + random.nextGaussian() * 0.002));
      }
    }
    return lines;
  }

  private static String size(double mm) {
    return String.format(Locale.ROOT, "%.3f", mm);
  }
}
