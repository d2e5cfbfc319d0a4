/** The contract of a hold output: permit images and beats out, the cell's words in. */
@NullMarked
package org.borewarden.agent.hold;

import org.jspecify.annotations.NullMarked;
