package org.borewarden.rules.study;

import java.util.List;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;

/**
 * The readings of a crossed study: each person measures each part the same number of times.
 *
 * @param byPerson readings[person][part][trial], in any one unit, best as deviations from nominal
 */
public record CrossedReadings(List<List<List<Double>>> byPerson) {
  /**
   * Copies the lists and checks their shape.
   *
   * @throws IllegalArgumentException with fewer than 2 persons, parts or trials, with rows of
   *     different length, or with a value that is not finite
   */
  public CrossedReadings {
    byPerson = byPerson.stream().map(parts -> parts.stream().map(List::copyOf).toList()).toList();
    atLeastTwo("persons", byPerson.size());
    int parts = byPerson.get(0).size();
    atLeastTwo("parts", parts);
    int trials = byPerson.get(0).get(0).size();
    atLeastTwo("trials", trials);
    for (int person = 0; person < byPerson.size(); person++) {
      same("parts of person " + person, parts, byPerson.get(person).size());
      for (int part = 0; part < parts; part++) {
        List<Double> row = byPerson.get(person).get(part);
        String where = "person " + person + ", part " + part;
        same("trials of " + where, trials, row.size());
        if (!row.stream().allMatch(Double::isFinite)) {
          throw new IllegalArgumentException("expected finite readings of " + where + ", " + row);
        }
      }
    }
  }

  private static void atLeastTwo(String what, int found) {
    if (found < 2) {
      throw new IllegalArgumentException("expected at least 2 " + what + ", found " + found);
    }
  }

  private static void same(String what, int expected, int found) {
    if (found != expected) {
      throw new IllegalArgumentException("expected " + expected + " " + what + ", found " + found);
    }
  }

  /**
   * The persons.
   *
   * @return at least 2
   */
  public int persons() {
    return byPerson.size();
  }

  /**
   * The parts.
   *
   * @return at least 2
   */
  public int parts() {
    return byPerson.get(0).size();
  }

  /**
   * The readings of one part by one person.
   *
   * @return at least 2
   */
  public int trials() {
    return byPerson.get(0).get(0).size();
  }

  DoubleStream all() {
    return IntStream.range(0, persons()).boxed().flatMapToDouble(this::ofPerson);
  }

  DoubleStream ofPerson(int person) {
    return byPerson.get(person).stream().flatMapToDouble(CrossedReadings::values);
  }

  DoubleStream ofPart(int part) {
    return byPerson.stream().flatMapToDouble(parts -> values(parts.get(part)));
  }

  DoubleStream ofCell(int person, int part) {
    return values(byPerson.get(person).get(part));
  }

  private static DoubleStream values(List<Double> row) {
    return row.stream().mapToDouble(Double::doubleValue);
  }
}
