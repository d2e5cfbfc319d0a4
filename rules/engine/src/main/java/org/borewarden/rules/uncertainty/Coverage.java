package org.borewarden.rules.uncertainty;

import org.borewarden.rules.stat.Quantiles;

/** The coverage factor k: given, or from a coverage probability. */
public sealed interface Coverage {
  /** k = 2, the usual one. */
  Coverage USUAL = new Factor(2);

  /** Beyond so many degrees of freedom Student's t is the normal distribution to 5 digits. */
  long MANY = 1_000_000;

  /**
   * k as given.
   *
   * @param k from 1 to 10
   */
  record Factor(double k) implements Coverage {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when k is not from 1 to 10
     */
    public Factor {
      if (!(k >= 1 && k <= 10)) {
        throw new IllegalArgumentException("expected k from 1 to 10, found " + k);
      }
    }

    @Override
    public double factor(double freedom) {
      return k;
    }
  }

  /**
   * k from Student's t, two-sided, with the effective degrees of freedom rounded down (JCGM
   * 100:2008, G.4.1 and G.6.4; from memory).
   *
   * @param p the coverage probability, over 0.5 and under 1
   */
  record Probability(double p) implements Coverage {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when p is not over 0.5 and under 1
     */
    public Probability {
      if (!(p > 0.5 && p < 1)) {
        throw new IllegalArgumentException("expected p over 0.5 and under 1, found " + p);
      }
    }

    @Override
    public double factor(double freedom) {
      double oneSided = (1 + p) / 2;
      return freedom >= MANY
          ? Quantiles.normal(oneSided)
          : Quantiles.student(oneSided, Math.max(1, (long) Math.floor(freedom)));
    }
  }

  /**
   * The factor.
   *
   * @param freedom the effective degrees of freedom, over 0, may be infinite
   * @return k
   */
  double factor(double freedom);
}
