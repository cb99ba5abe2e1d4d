package org.hosewright.companion

import org.hosewright.core.Answer
import org.hosewright.core.FieldKind
import org.hosewright.core.FieldShown
import org.hosewright.core.Follows
import org.hosewright.core.FormOf
import org.hosewright.core.FormShown
import org.hosewright.core.HoseShown
import org.hosewright.core.PageOf
import org.hosewright.core.Touch
import org.hosewright.core.Wanted
import org.junit.jupiter.api.Assertions.assertNull

/** A form as a person fills it in: what is touched depends on how it is drawn by then. */
class Form(val phone: Phone, of: FormOf) {
    val screen = Screen(phone.desk, PageOf.Form(of))
    val shown: FormShown get() = screen.shown.form!!
    val done get() = screen.shown.done
    val trouble get() = screen.shown.trouble
    val refused get() = trouble?.field
    val said get() = screen.shown.said.joinToString("\n")

    init {
        screen.touch(Touch.Look)
        phone.settle(screen)
    }

    /** Every field, also those that are folded. */
    fun fields(): List<FieldShown> = shown.groups.flatMap { it.fields + it.fold?.fields.orEmpty() }

    fun field(name: String): FieldShown = fields().first { it.name == name }

    /** Taps a choice or a box, types or scans: as the field that is drawn is filled in. */
    fun tap(name: String, value: String = "") {
        val drawn = screen.shown.form?.let { fields() }.orEmpty().filter { it.name == name }
        val field = drawn.find { one -> one.choices.any { it.value == value } } ?: drawn.firstOrNull()
        screen.touch(
            when (field?.kind) {
                FieldKind.TICK -> Touch.Tick(name, field.value.isEmpty())
                FieldKind.MANY -> Touch.Choose(name, value, field.choices.none { it.value == value && it.chosen })
                FieldKind.CHOICE -> Touch.Choose(name, value, true)
                FieldKind.SCAN, FieldKind.SCANS, FieldKind.SCAN_TO_ANSWER -> Touch.Scanned(name, value)
                FieldKind.PHOTO -> Touch.Photograph(name, value.ifEmpty { null })
                FieldKind.TEXT, FieldKind.DATE, FieldKind.NUMBER, null -> Touch.Write(name, value)
            },
        )
        phone.settle(screen)
    }

    fun submit(answer: String? = null) = settled(Touch.Save(emptyList(), answer))

    /** Yes to what is asked. */
    fun yes() = settled(Touch.Yes(""))

    fun drop() = settled(Touch.StartAgain)

    fun load() = settled(Touch.Look)

    fun tryAgain() = settled(Touch.TryAgain)

    private fun settled(touch: Touch) {
        screen.touch(touch)
        phone.settle(screen)
    }
}

/** What a page holds once it was touched so. */
fun Phone.page(of: PageOf, vararg touches: Touch): Screen {
    val screen = Screen(desk, of)
    screen.touch(Touch.Look)
    touches.forEach(screen::touch)
    return settle(screen)
}

/** Fills a form in and submits it. */
fun Phone.submit(of: FormOf, vararg taps: Pair<String, String>): Form =
    Form(this, of).apply {
        for ((field, value) in taps) tap(field, value)
        submit()
    }

fun Phone.hose(text: String): HoseShown {
    val screen = page(PageOf.Hose(text))
    screen.shown.trouble?.let { throw AssertionError(it.words) }
    return screen.shown.hose!!
}

/** A page that scans, with what followed. */
class Scan(val phone: Phone, wanted: Wanted = Wanted.ANSWER) {
    val screen = Screen(phone.desk, PageOf.Scan(wanted))
    val followed = mutableListOf<Follows>()
    val trouble get() = screen.shown.trouble

    init {
        screen.onFollows = { followed.add(it) }
        go(Touch.Look)
    }

    fun go(touch: Touch) {
        screen.touch(touch)
        phone.settle(screen)
    }

    fun typed(text: String) = go(Touch.Typed(text))

    fun seen(vararg texts: String) {
        screen.frame(texts.toList())
        phone.settle(screen)
    }

    /** The answer to which it leads. */
    fun answer(): Answer = phone.hose((followed.removeLast() as Follows.Hose).text).answer
}

fun Phone.scan(text: String): Answer {
    val scan = Scan(this)
    scan.typed(text)
    assertNull(scan.trouble, scan.trouble?.words)
    return scan.answer()
}
