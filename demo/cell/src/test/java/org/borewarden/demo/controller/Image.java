package org.borewarden.demo.controller;

/** Block A as an agent writes it, for tests of the cell's side. */
record Image(int boot, int beat, int permitWord, int hold) {
  static final int PERMIT = 0x0001;
  static final int LATCHED = 0x0004;
  static final int SAFE_POINT = 0x0010;

  static Image permit(int boot, int beat) {
    return new Image(boot, beat, PERMIT, 0);
  }

  int[] registers() {
    int[] a = new int[20];
    a[0] = 0x0101;
    a[1] = beat;
    a[2] = permitWord;
    a[3] = permitWord ^ beat ^ 0xA55A;
    a[4] = boot;
    a[5] = hold;
    a[12] = 65535;
    a[19] = beat;
    return a;
  }

  static int after(int beat) {
    return beat == 65535 ? 1 : beat + 1;
  }
}
