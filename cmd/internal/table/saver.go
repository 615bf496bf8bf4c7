// SPDX-License-Identifier: Apache-2.0

package table

import "sync"

// saver keeps one thing up to date without making anybody wait for the disk:
// of several values that come while it writes only the last is written.
type saver[T any] struct {
	write func(T) error
	wake  chan struct{}
	done  chan struct{}

	mu      sync.Mutex
	next    *T
	problem error // of the last write
}

func newSaver[T any](write func(T) error) *saver[T] {
	s := &saver[T]{write: write, wake: make(chan struct{}, 1), done: make(chan struct{})}
	go s.run()
	return s
}

func (s *saver[T]) run() {
	defer close(s.done)
	for range s.wake {
		s.mu.Lock()
		v := s.next
		s.next = nil
		s.mu.Unlock()
		if v == nil {
			continue
		}
		err := s.write(*v)
		s.mu.Lock()
		s.problem = err
		s.mu.Unlock()
	}
}

// put has v written soon. It must not be called after close.
func (s *saver[T]) put(v T) {
	s.mu.Lock()
	s.next = &v
	s.mu.Unlock()
	select {
	case s.wake <- struct{}{}:
	default: // it is awake
	}
}

// err returns what was wrong with the last write, if anything was.
func (s *saver[T]) err() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.problem
}

// close writes what is left and returns what was wrong with the last write.
func (s *saver[T]) close() error {
	close(s.wake)
	<-s.done
	return s.err()
}
