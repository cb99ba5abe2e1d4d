package org.hosewright.app

import org.hosewright.core.SharingShown

/** What other devices have of what is here; what is lost with this phone stands in a frame. */
internal fun closing(on: Sheet, sharing: SharingShown) {
    on.heading(sharing.title)
    if (sharing.warn) on.warning(sharing.words.joinToString("\n")) else sharing.words.forEach { on.words(it) }
}
