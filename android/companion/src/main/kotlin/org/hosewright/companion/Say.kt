package org.hosewright.companion

import org.hosewright.core.Labels
import org.hosewright.core.labels

/** What buttons, headings and fields are called. */
val say: Labels by lazy { labels() }
