package org.hosewright.app

import org.hosewright.companion.Screen
import org.hosewright.core.PageOf
import org.hosewright.core.Touch

/** A page of one screen, which is looked at whenever the page comes before the person. */
abstract class OnePage : Page() {
    /** Which page of the core's it is. */
    protected abstract fun of(): PageOf

    protected val screen by screen { of() }

    override val screens: List<Screen> get() = listOf(screen)

    override fun onResume() {
        super.onResume()
        screen.touch(Touch.Look)
    }
}
