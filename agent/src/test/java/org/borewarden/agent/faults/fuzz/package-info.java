/**
 * Bytes from outside against whatever reads them. Each target is a plain method, which the tests
 * call with a corpus and seeded mutations of it, and which a coverage-guided fuzzer drives in the
 * profile {@code faults}.
 */
@NullMarked
package org.borewarden.agent.faults.fuzz;

import org.jspecify.annotations.NullMarked;
