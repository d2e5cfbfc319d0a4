package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;

/**
 * A bore that still waits for readings.
 *
 * @param part its part
 * @param context what was said of the part when it was begun
 * @param unit the unit the gauge showed
 * @param decimals the most decimals the gauge showed
 * @param taken its readings so far, in order
 * @param settled the size of each place that is known, by the place's index
 * @param next the place that was asked for again
 * @param confirming the place whose reading was out of limit and is measured again
 * @param notes keys of what to know
 */
record OpenBore(
    long part,
    PartContext context,
    Unit unit,
    int decimals,
    List<Entry> taken,
    NavigableMap<Integer, Span> settled,
    OptionalInt next,
    OptionalInt confirming,
    List<String> notes) {
  OpenBore {
    taken = List.copyOf(taken);
    settled = Collections.unmodifiableNavigableMap(new TreeMap<>(settled));
    notes = List.copyOf(notes);
  }

  /**
   * A reading.
   *
   * @param place the place's index; 0 without a plan
   * @param seq the seq of its event
   * @param value its value
   * @param counts false where another stands in its stead
   */
  record Entry(int place, long seq, Length value, boolean counts) {}

  static OpenBore begun(long part, PartContext context, Unit unit) {
    return new OpenBore(
        part,
        context,
        unit,
        0,
        List.of(),
        new TreeMap<>(),
        OptionalInt.empty(),
        OptionalInt.empty(),
        List.of());
  }

  /** One reading more at a place; without a confirmation it stands in the stead of any before. */
  OpenBore with(int place, Reading reading, long seq, boolean replaces) {
    List<Entry> more = new ArrayList<>(replaces ? cleared(place) : taken);
    more.add(new Entry(place, seq, reading.value(), true));
    return new OpenBore(
        part,
        context,
        reading.unit(),
        Math.max(decimals, reading.decimals()),
        more,
        settled,
        OptionalInt.empty(),
        confirming,
        notes);
  }

  /** With one note more, once. */
  OpenBore noted(Optional<String> note) {
    if (note.isEmpty() || notes.contains(note.get())) {
      return this;
    }
    List<String> all = new ArrayList<>(notes);
    all.add(note.get());
    return new OpenBore(part, context, unit, decimals, taken, settled, next, confirming, all);
  }

  /** The place is measured again from its beginning. */
  OpenBore again(int place) {
    NavigableMap<Integer, Span> fewer = new TreeMap<>(settled);
    fewer.remove(place);
    return new OpenBore(
        part,
        context,
        unit,
        decimals,
        cleared(place),
        fewer,
        OptionalInt.of(place),
        confirming,
        notes);
  }

  private List<Entry> cleared(int place) {
    return taken.stream()
        .map(e -> e.place() == place ? new Entry(place, e.seq(), e.value(), false) : e)
        .toList();
  }

  OpenBore confirming(int place) {
    return new OpenBore(
        part, context, unit, decimals, taken, settled, next, OptionalInt.of(place), notes);
  }

  /** The size of a place is known, and nothing is confirmed any more. */
  OpenBore settled(int place, Span size, List<String> more) {
    NavigableMap<Integer, Span> known = new TreeMap<>(settled);
    known.put(place, size);
    List<String> all = new ArrayList<>(notes);
    more.stream().filter(note -> !all.contains(note)).forEach(all::add);
    return new OpenBore(
        part, context, unit, decimals, taken, known, next, OptionalInt.empty(), all);
  }

  /** The values that count at a place, in order. */
  List<Length> at(int place) {
    return taken.stream().filter(e -> e.place() == place && e.counts()).map(Entry::value).toList();
  }

  /** All values that count. */
  List<Length> counting() {
    return taken.stream().filter(Entry::counts).map(Entry::value).toList();
  }

  List<Long> seqs() {
    return taken.stream().map(Entry::seq).toList();
  }

  /** The first place whose size is not known. */
  int firstOpen() {
    int place = 0;
    while (settled.containsKey(place)) {
      place++;
    }
    return place;
  }
}
