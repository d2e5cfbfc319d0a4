/** The demo: a wearing insert, a hold before the first bad bore, a tool change, a release. */
@NullMarked
package org.borewarden.demo.story;

import org.jspecify.annotations.NullMarked;
