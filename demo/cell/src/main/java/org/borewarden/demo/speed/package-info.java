/** Measures the built agent on loopback: its start, its verdicts, its holds and its memory. */
@NullMarked
package org.borewarden.demo.speed;

import org.jspecify.annotations.NullMarked;
