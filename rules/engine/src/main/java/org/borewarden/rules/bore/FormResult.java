package org.borewarden.rules.bore;

import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.FormKind;

/**
 * A kind of form of a bore against its limit.
 *
 * @param kind what was limited
 * @param value what was found, rounded to the picometre
 * @param most the limit
 * @param verdict what is said of it
 */
public record FormResult(FormKind kind, Length value, Length most, FormVerdict verdict) {}
