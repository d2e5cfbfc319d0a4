package org.borewarden.agent.report;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.borewarden.rules.engine.Decision;

/**
 * The bores of one part: those that were scanned as it, and those of which that was said later. A
 * bore that was scanned as it by mistake stays, and says so. Used by one thread.
 */
final class PartBores {
  /** So many serials are remembered to offer the nearest of them. */
  private static final int MOST_SERIALS = 10_000;

  /** So many bores are remembered whose serial may be corrected yet. */
  private static final int MOST_RECENT = 5_000;

  private final Wanted wanted;
  private final String serial;
  private final Set<String> serials = new TreeSet<>();
  private final ArrayDeque<LifeBore> recent = new ArrayDeque<>();
  private final List<LifeBore> bores = new ArrayList<>();

  PartBores(Wanted wanted, String serial) {
    this.wanted = wanted;
    this.serial = serial;
  }

  void hear(Heard heard) {
    for (int i = 0; i < heard.decisions().size(); i++) {
      Decision decision = heard.decisions().get(i);
      if (decision instanceof Decision.BoreJudged judged) {
        bore(heard, heard.seqOf(i), judged);
      } else if (decision instanceof Decision.SerialCorrected corrected) {
        know(corrected.serial());
        if (corrected.serial().equals(serial)) {
          recent.stream().filter(bore -> bore.seq() == corrected.seq()).forEach(this::add);
        }
      }
    }
  }

  private void bore(Heard heard, long seq, Decision.BoreJudged judged) {
    Optional<String> scanned = judged.bore().context().serial();
    scanned.ifPresent(this::know);
    if (!wanted.wants(judged.feature())) {
      return;
    }
    LifeBore bore = new LifeBore(seq, heard.at(), judged, false, 0, heard.state().rulesRevision());
    recent.add(bore);
    if (recent.size() > MOST_RECENT) {
      recent.remove();
    }
    if (scanned.equals(Optional.of(serial))) {
      add(bore);
    }
  }

  private void know(String other) {
    if (serials.size() < MOST_SERIALS || other.equals(serial)) {
      serials.add(other);
    }
  }

  private void add(LifeBore bore) {
    if (bores.stream().noneMatch(known -> known.seq() == bore.seq())) {
      bores.add(bore);
    }
  }

  Set<String> serials() {
    return serials;
  }

  /** Oldest first; the later ones of a feature are measured again. */
  List<LifeBore> bores() {
    Set<String> features = new TreeSet<>();
    return bores.stream()
        .sorted(Comparator.comparingLong(LifeBore::seq))
        .map(bore -> bore.asAgain(!features.add(bore.feature().id())))
        .toList();
  }
}
