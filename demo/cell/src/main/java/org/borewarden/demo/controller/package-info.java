/** A simulated cell controller: registers, the shipped watchdog program, and a small cell. */
@NullMarked
package org.borewarden.demo.controller;

import org.jspecify.annotations.NullMarked;
