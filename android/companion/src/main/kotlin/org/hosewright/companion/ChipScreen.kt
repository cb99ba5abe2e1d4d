package org.hosewright.companion

import org.hosewright.core.ChipMessage
import org.hosewright.core.Obstacle

/** A chip that lies at the phone, as a platform reaches it. Its calls block. */
interface Chip {
    /** How many bytes of message it has room for. */
    val room: Int

    /** The message that it holds; no bytes if it is empty. */
    fun read(): ByteArray

    /** Writes a message. */
    fun write(message: ByteArray)
}

/** The chip was taken away. */
class ChipLostException(cause: Throwable? = null) : Exception(cause)

/** Writing a hose's tag on a chip. */
class ChipScreen(desk: Desk, private val code: String) : Screen<ChipMessage>(desk) {
    /** What the last chip held, and what the person agreed to lose: of that chip, and of no other. */
    private var held: ByteArray? = null
    private var agreedTo: ByteArray? = null

    /** Whether a chip is waited for. */
    val waiting: Boolean
        get() = shown == null

    /**
     * A chip came near: it is read, and written unless it holds another's. Chips
     * are slow, and the record is not kept from others in the meantime.
     */
    fun near(chip: Chip) =
        beside({ chip.still { room.toUInt() to read() } }) { (room, holds) ->
            held = holds
            val agreed = agreedTo.contentEquals(holds)
            ask({ logbook, moment -> logbook.chipMessage(code, room, holds, agreed, moment) }) { message ->
                beside({ chip.still { write(message.bytes) } }) { shown = message }
            }
        }

    /** The person saw what the chip holds, and said yes: hold it there again. */
    fun overwrite() {
        agreedTo = held
        dismiss()
    }

    /** A chip that was taken away is held there again. */
    override fun tryAgain() = dismiss()

    /** NFC is off, or not there. */
    fun obstacle(obstacle: Obstacle) {
        trouble = Trouble.of(obstacle)
        onChange()
    }

    /** Another chip for the same hose. */
    fun anew() {
        shown = null
        agreedTo = null
        dismiss()
    }

    private fun <T> Chip.still(work: Chip.() -> T): T =
        try {
            work()
        } catch (lost: java.io.IOException) {
            throw ChipLostException(lost)
        }
}
