package org.borewarden.rules.hold;

import java.util.Optional;

/**
 * What one input did to a cell's hold.
 *
 * @param next the state after it
 * @param code the answer, where the table gives one; empty for what is recorded only
 * @param grantPending the revision of a grant that this step asked for: when this step's record is
 *     synced, {@link HoldInput.GrantSynced} with it is due
 * @param changed whether anything of the state changed
 */
public record HoldStep(
    HoldState next, Optional<AnswerCode> code, Optional<Integer> grantPending, boolean changed) {}
