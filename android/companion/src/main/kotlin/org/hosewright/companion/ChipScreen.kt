package org.hosewright.companion

import org.hosewright.core.ChipMessage
import org.hosewright.core.Obstacle

/** A chip that lies at the phone, as a platform reaches it. Its calls block. */
interface Chip {
    /** How many bytes of message it has room for. */
    val room: Int

    /** The message that it holds; no bytes where it is empty. */
    fun read(): ByteArray

    /** Writes a message. */
    fun write(message: ByteArray)
}

/** The chip was taken away. */
class ChipLostException(cause: Throwable? = null) : Exception(cause)

/** Writing a hose's tag on a chip. */
class ChipScreen(desk: Desk, private val code: String) : Screen<ChipMessage>(desk) {
    private var agreed = false

    /** Whether a chip is waited for. */
    val waiting: Boolean
        get() = shown == null

    /** A chip came near: it is read, and written unless it holds another's. */
    fun near(chip: Chip) {
        val agreed = agreed
        ask({ logbook, moment ->
            val held = chip.held { read() }
            val message = logbook.chipMessage(code, chip.room.toUInt(), held, agreed, moment)
            chip.held { write(message.bytes) }
            message
        }) {
            shown = it
        }
    }

    /** The person saw what the chip holds, and said yes: hold it there again. */
    fun overwrite() {
        agreed = true
        dismiss()
    }

    /** NFC is off, or not there. */
    fun obstacle(obstacle: Obstacle) {
        trouble = Trouble.of(obstacle)
        onChange()
    }

    /** Another chip for the same hose. */
    fun anew() {
        shown = null
        agreed = false
        dismiss()
    }

    private fun <T> Chip.held(work: Chip.() -> T): T =
        try {
            work()
        } catch (lost: java.io.IOException) {
            throw ChipLostException(lost)
        }
}
