/** Proofs over the whole agent: a held cell stays held, forged commands change nothing. */
@NullMarked
package org.borewarden.agent.proof;

import org.jspecify.annotations.NullMarked;
