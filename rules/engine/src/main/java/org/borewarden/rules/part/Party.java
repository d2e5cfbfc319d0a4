package org.borewarden.rules.part;

/**
 * For whom a bore is judged. Each must prove what he claims with his own uncertainty (ISO 14253-1;
 * from public abstracts): the supplier that the bore is good, the customer that it is not.
 */
public enum Party {
  /** Ships: only what is proven within. */
  SUPPLIER("supplier"),
  /** Receives: may reject only what is proven out. */
  CUSTOMER("customer");

  private final String key;

  Party(String key) {
    this.key = key;
  }

  /**
   * The word in files and payloads.
   *
   * @return lower case
   */
  public String key() {
    return key;
  }
}
